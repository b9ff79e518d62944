import { mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { wiredChannels } from "#calibration";
import { Fault, unwrap } from "#fault";
import { documentOf, evaluateUpkeep, resultLines, stepsOf, type UpkeepResult, type UpkeepStep } from "#upkeep";
import { readCatalog } from "../catalog.ts";
import type { ExitCode, Surroundings } from "../command.ts";
import { isTerminal } from "../run/progress.ts";
import { askOneOf } from "../terminal/ask.ts";
import { durationText } from "../terminal/duration.ts";
import { carryOutSteps, type StepsOptions } from "./carry-out-steps.ts";
import { openUpkeepBench } from "./open-upkeep-bench.ts";
import { readProcedure } from "./upkeep-file.ts";

export interface ProcedureRun {
  readonly file: string;
  readonly out: string;
  readonly speed: number;
  readonly seed: number;
  /** Nobody is asked: only on a simulated bench. */
  readonly yes: boolean;
  readonly text: boolean;
}

/** A terminal sees a line for each step, a pipe a JSON line. */
const showOn =
  ({ stdout, stderr }: Surroundings): StepsOptions["show"] =>
  (step, number, of, left) => {
    if (isTerminal(stdout)) {
      stdout.write(
        `${left === null ? "" : "   "}${number}/${of} ${step.text}${left === null ? "" : ` about ${durationText(left)} left`}\n`,
      );
      return;
    }
    stderr.write(
      `${JSON.stringify({ kind: "progress", what: "upkeep", step: number, of, do: step.do, text: step.text, left })}\n`,
    );
  };

const askOn = ({ stdin, stdout, signal }: Surroundings): StepsOptions["ask"] => {
  const answers = [
    { word: "done", meaning: "it is as it says" },
    { word: "leave", meaning: "break off" },
  ] as const;
  return async (step: Extract<UpkeepStep, { do: "arrange" }>) => {
    const word = await askOneOf({ stdin, stdout }, `! ${step.caution}\n${step.text}`, answers, signal);
    if (word !== "done") throw new Fault("run.not-allowed", "The procedure was broken off; nothing was evaluated.");
  };
};

const personFor = (surroundings: Surroundings, yes: boolean, simulated: boolean): StepsOptions["ask"] => {
  if (yes && !simulated)
    throw new Fault(
      "usage.wrong",
      "--yes is for the simulated bench: at a real one a person must move the thermometers.",
    );
  if (yes) return () => Promise.resolve();
  const { stdin, stdout } = surroundings;
  if (isTerminal(stdout) && (stdin as { isTTY?: boolean }).isTTY === true) return askOn(surroundings);
  throw new Fault(
    "usage.wrong",
    "This procedure asks a person to move thermometers, and there is no terminal. Run it in one, or with --yes on a simulated bench.",
  );
};

/** Files of a procedure: the document with everything that was read, and what it came to. */
const writeFiles = async (
  out: string,
  name: string,
  document: object,
  result: UpkeepResult,
): Promise<readonly [string, string]> => {
  await mkdir(out, { recursive: true });
  const paths = [join(out, `${name}.json`), join(out, `${name}.result.json`)] as const;
  await writeFile(paths[0], `${JSON.stringify(document, null, 2)}\n`);
  await writeFile(paths[1], `${JSON.stringify(result, null, 2)}\n`);
  return paths;
};

/** Carries a procedure out on its bench, evaluates it, and writes the document and its result. */
export const runProcedure = async (surroundings: Surroundings, wanted: ProcedureRun): Promise<ExitCode> => {
  const { test: plan, bench } = await readProcedure(wanted.file);
  if (bench === undefined)
    throw new Fault(
      "input.invalid",
      `${wanted.file} names no bench. Add instruments and channels, or type the readings into a document for evaluate.`,
    );
  const at = `${new Date().toISOString().slice(0, 19)}Z`;
  const open = await openUpkeepBench({
    plan,
    bench,
    entries: readCatalog(surroundings.home),
    speed: wanted.speed,
    seed: wanted.seed,
  });
  try {
    const ask = personFor(surroundings, wanted.yes, open.simulated);
    unwrap(await open.bench.prepare());
    const visits = await carryOutSteps({
      plan,
      open,
      channels: Object.keys(wiredChannels(bench)),
      signal: surroundings.signal,
      ask,
      show: showOn(surroundings),
      warn: (words) => void surroundings.stderr.write(`${JSON.stringify({ warning: words })}\n`),
    });
    const document = unwrap(documentOf(plan, { at, rehearsal: open.simulated || plan.rehearsal, visits }));
    const result = unwrap(evaluateUpkeep(document));
    const name = `${result.entry.id}-${plan.kind}-${at.replace(/[-:]/g, "")}`;
    const [documentPath, resultPath] = await writeFiles(wanted.out, name, document, result);
    const { stdout } = surroundings;
    if (wanted.text)
      stdout.write(`${[...resultLines(result), `Written: ${documentPath}, ${resultPath}`].join("\n")}\n`);
    else
      stdout.write(
        `${JSON.stringify({ document: documentPath, result: resultPath, steps: stepsOf(plan).length, verdict: result.verdict, statement: result.statement })}\n`,
      );
    return 0;
  } finally {
    await open.close();
  }
};
