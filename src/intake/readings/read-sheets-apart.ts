import { Worker } from "node:worker_threads";
import { failure, type Outcome } from "#fault";
import type { SheetsRead } from "./read-sheets.ts";
import type { SheetsAsked } from "./sheets-worker.ts";

/** Longer than a file of the largest size takes, s. */
const patience = 30;
/** What the reading of one file may take of the memory, MiB. */
const room = 768;

/**
 * The same as `readSheets`, on a thread of its own: a large or malicious file takes neither the time of what goes on
 * meanwhile (a run reads its instruments) nor more than a part of the memory.
 */
export const readSheetsApart = (bytes: Uint8Array, name: string, wanted?: string): Promise<Outcome<SheetsRead>> =>
  new Promise((resolve) => {
    const asked: SheetsAsked = { bytes, name, wanted };
    const worker = new Worker(new URL("./sheets-worker.ts", import.meta.url), {
      workerData: asked,
      resourceLimits: { maxOldGenerationSizeMb: room },
    });
    const tooLarge = failure(
      "input.malformed",
      `${name} is too large or too intricate to be read. Divide it, or save the sheet as CSV.`,
    );
    const answer = (outcome: Outcome<SheetsRead>): void => {
      clearTimeout(limit);
      resolve(outcome);
      void worker.terminate();
    };
    const limit = setTimeout(() => answer(tooLarge), patience * 1000);
    worker.once("message", answer);
    worker.once("error", (error) => {
      const outOfMemory = "code" in error && error.code === "ERR_WORKER_OUT_OF_MEMORY";
      answer(outOfMemory ? tooLarge : failure("internal", `${name} could not be read: ${error.message}`));
    });
  });
