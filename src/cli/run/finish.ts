import type { RunEvent } from "#calibration";
import type { WorkProgress } from "#parallel";
import type { ExitCode, Surroundings } from "../command.ts";
import { progressForPeople, validatedAtFinish } from "../validation.ts";
import type { Conducted } from "./conduct.ts";
import { writeOutputs } from "./outputs.ts";
import { isTerminal, type Progress } from "./progress.ts";
import { summaryLines, summaryRecord } from "./summary.ts";

/** Result, certificate and summary of an ended run; the summary is the last line of the output. */
export const finishRun = async (
  { stdout, stderr, signal }: Surroundings,
  folder: string,
  logPath: string,
  log: readonly RunEvent[],
): Promise<ExitCode> => {
  const progress = isTerminal(stdout)
    ? progressForPeople(stderr)
    : {
        onProgress: (made: WorkProgress) =>
          void stdout.write(`${JSON.stringify({ kind: "progress", stage: "validating", ...made })}\n`),
      };
  const finished = await writeOutputs(folder, logPath, log, (events, result) =>
    validatedAtFinish(events, result, { signal, ...progress }),
  );
  const text = isTerminal(stdout) ? summaryLines(finished).join("\n") : JSON.stringify(summaryRecord(finished));
  stdout.write(`${text}\n`);
  return finished.outputs.certificate === null ? 1 : 0;
};

/** What to say of a run that waits in its log for somebody: why, and how to go on. */
export const leaveWaiting = (
  { stdout, stderr }: Surroundings,
  progress: Progress,
  logPath: string,
  { fault }: Conducted,
): ExitCode => {
  const why = fault?.message ?? "The run is paused.";
  const resume = `dwellpoint run --resume ${logPath}`;
  progress.say(`The source is off and the log is kept. When it is put right, go on with: ${resume}`);
  const error = {
    code: fault?.code ?? "run.not-allowed",
    message: `${why} The run is paused; go on with: ${resume}`,
    data: { log: logPath },
  };
  if (!isTerminal(stdout))
    stdout.write(`${JSON.stringify({ kind: "summary", outcome: "waiting", log: logPath, error })}\n`);
  stderr.write(`${JSON.stringify({ error })}\n`);
  return 1;
};
