import { parentPort, workerData } from "node:worker_threads";
import { readSheets } from "./read-sheets.ts";

/** What the thread is asked: one file. */
export interface SheetsAsked {
  readonly bytes: Uint8Array;
  readonly name: string;
  readonly wanted: string | undefined;
}

const { bytes, name, wanted } = workerData as SheetsAsked;
parentPort?.postMessage(await readSheets(bytes, name, wanted), []);
