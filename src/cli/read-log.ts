import { readFile } from "node:fs/promises";
import { parseLog, type RunEvent } from "#calibration";
import { Fault } from "#fault";

/** A run log from a file that a person named. @throws Fault `input.invalid`, or `log.invalid` with the line */
export const readLog = async (file: string): Promise<RunEvent[]> => {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const code = error instanceof Error && "code" in error ? String(error.code) : "";
    throw new Fault("input.invalid", `The log ${file} cannot be read (${code}). Give the path of a run log.`, {
      data: { file },
      cause: error,
    });
  }
  return parseLog(text.split("\n"));
};
