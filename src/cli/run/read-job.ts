import { access, constants, readFile } from "node:fs/promises";
import { basename } from "node:path";
import type { Job } from "#calibration";
import { Fault, unwrap } from "#fault";
import { loadJob } from "#intake";
import { checkSimulation } from "../bench/read-simulated-bench.ts";

const systemCode = (thrown: unknown): string =>
  thrown instanceof Error && "code" in thrown && typeof thrown.code === "string" ? thrown.code : "";

const unreadable = (path: string, what: string, thrown: unknown): Fault =>
  new Fault("input.invalid", `The ${what} ${path} cannot be read (${systemCode(thrown)}). Check the path.`, {
    data: { path },
    cause: thrown,
  });

/** A file that a person named. @throws Fault `input.invalid` that says which and why it cannot be read */
export const readNamedBytes = async (path: string, what: string): Promise<Uint8Array> => {
  try {
    return await readFile(path);
  } catch (thrown) {
    throw unreadable(path, what, thrown);
  }
};

/** The same for one that is read elsewhere, a piece at a time. */
export const checkNamedFile = async (path: string, what: string): Promise<void> => {
  try {
    await access(path, constants.R_OK);
  } catch (thrown) {
    throw unreadable(path, what, thrown);
  }
};

/** The same as text. */
export const readNamedFile = async (path: string, what: string): Promise<string> =>
  Buffer.from(await readNamedBytes(path, what)).toString("utf8");

/** A job from its file. @throws Fault `job.invalid` with every wrong field and its line */
export const readJob = async (path: string): Promise<Job> => {
  const text = await readNamedFile(path, "job file");
  const job = unwrap(loadJob(text, basename(path)));
  checkSimulation(text, basename(path));
  return job;
};
