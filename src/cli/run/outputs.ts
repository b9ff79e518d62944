import { constants } from "node:fs";
import { access, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { evaluate, type PointValidation, type Result, type RunEvent, type RunOpened } from "#calibration";
import { certificateNumber, issueDay, renderCertificate, type IssueCheck } from "#certificates";
import { Fault } from "#fault";
import { writeCertificate } from "../commands/certify.ts";
import { writeCheck } from "./check-file.ts";

export interface Outputs {
  readonly log: string;
  readonly result: string;
  /** The check list before issue and the validation of each point's uncertainty, as JSON. */
  readonly check: string;
  readonly certificate: { readonly number: string; readonly pdf: string; readonly xml: string } | null;
  /** Why there is no certificate, where there is none. */
  readonly withheld: string | null;
}

export interface Finished {
  readonly result: Result;
  readonly validation: readonly PointValidation[];
  readonly outputs: Outputs;
  readonly check: IssueCheck;
}

const systemCode = (thrown: unknown): string =>
  thrown instanceof Error && "code" in thrown && typeof thrown.code === "string" ? thrown.code : String(thrown);

/** Makes the folder for the files of a run. @throws Fault `records.read-only` where it cannot be written */
export const makeFolder = async (folder: string): Promise<void> => {
  try {
    await mkdir(folder, { recursive: true });
    await access(folder, constants.W_OK | constants.X_OK);
  } catch (thrown) {
    throw new Fault(
      "records.read-only",
      `The folder ${folder} cannot be written (${systemCode(thrown)}). Give --out a folder that you may write to and that has room.`,
      { data: { folder }, cause: thrown },
    );
  }
};

export const resultPath = (folder: string, run: string): string => join(folder, `${run}.result.json`);

const withheldBecause = (result: Result, check: IssueCheck): string | null => {
  if (result.outcome !== "completed")
    return "The run was not completed, so no certificate was made. certify makes one of what was measured, if that is wanted.";
  if (check.stops.length === 0) return null;
  return `The certificate cannot be issued. ${check.stops.map(({ message }) => message).join(" ")}`;
};

/**
 * A certificate's number that no other run's certificate in the folder has: the job's own, or with -2, -3 … after it
 * (ISO/IEC 17025:2017, 7.8.2.1 d, from memory: a number is unique). A certificate of this very run is written again.
 */
const freeNumber = async (folder: string, number: string, run: string): Promise<string> => {
  for (let count = 1; ; count += 1) {
    const candidate = count === 1 ? number : `${number}-${count}`;
    const there = await readFile(join(folder, `${candidate}.xml`), "utf8").catch((cause: unknown) => {
      if (systemCode(cause) === "ENOENT") return null;
      throw cause;
    });
    if (there === null || there.includes(run)) return candidate;
  }
};

/**
 * Evaluates an ended run and writes `RUN.result.json`, `RUN.check.json` and, where it may be issued, the certificate as PDF and
 * XML. `validate` is given the evaluated run and answers what Monte Carlo says of its points.
 */
export const writeOutputs = async (
  folder: string,
  logPath: string,
  log: readonly RunEvent[],
  validate: (log: readonly RunEvent[], result: Result) => Promise<readonly PointValidation[]>,
): Promise<Finished> => {
  const result = evaluate(log);
  const validation = await validate(log, result);
  const path = resultPath(folder, result.run);
  const today = new Date().toISOString().slice(0, 10);
  const { job } = log[0] as RunOpened;
  const number = await freeNumber(folder, certificateNumber(job, {}), result.run);
  const rendered = renderCertificate({
    log,
    result,
    issued: { number, date: issueDay(log, result, today) },
    validation,
  });
  const withheld = withheldBecause(result, rendered.check);
  const certificate =
    withheld === null ? { number: rendered.document.number, ...(await writeCertificate(folder, rendered)) } : null;
  const { check } = rendered;
  const checkFile = await writeCheck(folder, {
    run: result.run,
    certificate: certificate?.number ?? null,
    check,
    validation,
  });
  // The result comes last: where it stands, everything that belongs to the run stands too.
  await writeFile(`${path}.part`, `${JSON.stringify(result, null, 2)}\n`);
  await rename(`${path}.part`, path);
  return {
    result,
    validation,
    outputs: { log: logPath, result: path, check: checkFile, certificate, withheld },
    check,
  };
};
