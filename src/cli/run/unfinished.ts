import { readdir, readFile } from "node:fs/promises";
import { join } from "node:path";
import { Fault } from "#fault";

const ending = ".log.jsonl";

export const logPath = (folder: string, run: string): string => join(folder, `${run}${ending}`);

const jobOf = (opening: string): string | null => {
  try {
    const value = JSON.parse(opening) as { kind?: unknown; job?: { job?: unknown } };
    return value.kind === "run-opened" && typeof value.job?.job === "string" ? value.job.job : null;
  } catch (error) {
    // Some other program's file: nothing of ours.
    if (error instanceof SyntaxError) return null;
    throw error;
  }
};

/** Only a line that could be the end is read: logs are long. A torn last line is none. */
const isEnd = (line: string): boolean => {
  if (!line.includes('"run-ended"') || line.length > 4096) return false;
  try {
    return (JSON.parse(line) as { kind?: unknown }).kind === "run-ended";
  } catch (error) {
    if (error instanceof SyntaxError) return false;
    throw error;
  }
};

/**
 * Refuses to open a second run of a job beside one that was broken off: its readings would be left lying.
 * @throws Fault `run.not-allowed` with the path of that log and the command that goes on with it
 */
export const refuseBesideUnfinished = async (folder: string, job: string): Promise<void> => {
  const names = (await readdir(folder)).filter((name) => name.endsWith(ending)).sort();
  for (const name of names) {
    const path = join(folder, name);
    const lines = (await readFile(path, "utf8")).trimEnd().split("\n");
    if (jobOf(lines[0] ?? "") !== job) continue;
    if (lines.some(isEnd)) continue;
    throw new Fault(
      "run.not-allowed",
      `${folder} holds a run of job ${job} that was broken off. Go on with it: dwellpoint run --resume ${path}. To begin anew, give another --out, or move that log away.`,
      { data: { log: path } },
    );
  }
};
