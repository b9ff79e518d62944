import { rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import type { PointValidation } from "#calibration";
import type { IssueCheck } from "#certificates";
import { Fault } from "#fault";

/** What was looked at before issue, for programs and auditors. */
interface CheckRecord {
  readonly run: string;
  /** Number of the certificate; null where none was made. */
  readonly certificate: string | null;
  readonly check: IssueCheck;
  /** Each point's uncertainty by Monte Carlo (JCGM 101:2008, clause 8): both intervals, and in words whether they agree. */
  readonly validation: readonly PointValidation[];
}

/**
 * Writes `RUN.check.json` beside the result. It stands beside and not inside, because the result is a function of the log
 * alone and this file also holds what was true on the day of issue; it can be made again from the log at any time.
 * @throws Fault `records.read-only` where the folder cannot be written
 */
export const writeCheck = async (folder: string, record: CheckRecord): Promise<string> => {
  const path = join(folder, `${record.run}.check.json`);
  try {
    await writeFile(`${path}.part`, `${JSON.stringify({ format: "dwellpoint-check/1", ...record }, null, 2)}\n`);
    await rename(`${path}.part`, path);
  } catch (thrown) {
    throw new Fault(
      "records.read-only",
      `The check list cannot be written to ${folder}. Give --out a folder that you may write to and that has room.`,
      { data: { folder }, cause: thrown },
    );
  }
  return path;
};
