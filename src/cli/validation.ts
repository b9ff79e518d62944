import type { Writable } from "node:stream";
import {
  notValidated,
  validatePoints,
  type PointValidation,
  type Result,
  type RunEvent,
  type ValidationSettings,
} from "#calibration";
import { Fault } from "#fault";
import { withWorkforce, type WorkProgress } from "#parallel";
import type { Surroundings } from "./command.ts";
import { bar } from "./terminal/bar.ts";
import { readNumber } from "./words.ts";

const option = "--monte-carlo";
const barWidth = 30;

/**
 * Takes `--monte-carlo [N]` out of the words of a command, because its number may be left out: `adaptive`, a number of
 * trials, or neither. `asked` is undefined where the option is not there.
 */
export const takeMonteCarlo = (
  words: readonly string[],
): { readonly rest: readonly string[]; readonly asked: ValidationSettings | undefined } => {
  const place = words.findIndex((word) => word === option || word.startsWith(`${option}=`));
  if (place < 0) return { rest: words, asked: undefined };
  const inline = words[place]!.startsWith(`${option}=`) ? words[place]!.slice(option.length + 1) : undefined;
  const next = words[place + 1];
  const follows = inline === undefined && next !== undefined && /^(adaptive|[+-]?[\d.][\d.e+]*)$/.test(next);
  const word = inline ?? (follows ? next : undefined);
  const rest = [...words.slice(0, place), ...words.slice(place + (follows ? 2 : 1))];
  if (rest.some((other) => other === option || other.startsWith(`${option}=`)))
    throw new Fault("usage.wrong", `${option} is there twice.`);
  if (word === undefined) return { rest, asked: {} };
  const trials =
    word === "adaptive" ? word : readNumber(option.slice(2), word, { least: 1000, most: 10_000_000, whole: true });
  return { rest, asked: { trials } };
};

/** A terminal sees a bar, a pipe a JSON line for each point. */
const showProgress =
  (stderr: Writable & { readonly isTTY?: boolean }) =>
  ({ done, of }: WorkProgress): void => {
    const share = of === null || of === 0 ? 1 : done / of;
    if (stderr.isTTY === true) {
      const words = `${bar(share, barWidth)} Monte Carlo, point ${done} of ${of ?? "?"}`;
      stderr.write(done === of ? `\r${" ".repeat(words.length)}\r` : `\r${words}`);
    } else stderr.write(`${JSON.stringify({ kind: "progress", what: "monte-carlo", done, of })}\n`);
  };

interface AtFinish {
  readonly signal: AbortSignal;
  readonly onProgress?: (progress: WorkProgress) => void;
}

/** Shows progress on standard error where a person sees it; a program that reads along gets nothing there but faults. */
export const progressForPeople = (stderr: Writable & { readonly isTTY?: boolean }): Pick<AtFinish, "onProgress"> =>
  stderr.isTTY === true ? { onProgress: showProgress(stderr) } : {};

/**
 * The validation that every finished run gets (rule C45): as many trials as decide each point, on threads, from the log's own
 * seed. Told to stop, it gives the points as not validated, with the reason; the run's other files do not suffer by it.
 */
export const validatedAtFinish = async (
  log: readonly RunEvent[],
  result: Result,
  options: AtFinish,
): Promise<PointValidation[]> => {
  try {
    return await withWorkforce({}, (force) => force.validatePoints(log, result, { trials: "decisive" }, options));
  } catch (thrown) {
    if (!options.signal.aborted) throw thrown;
    return notValidated(log, result, {
      code: "uncertainty.cancelled",
      message: "The program was asked to stop before it was made; evaluate --monte-carlo makes it from the log.",
    });
  }
};

/** Trials in all from which threads are worth starting. */
const worthThreads = 500_000;

/** Validates the points of a run on as many threads as are worth it; the digits are the same on any number of them. */
export const validated = async (
  log: readonly RunEvent[],
  result: Result,
  settings: ValidationSettings,
  { stderr, signal }: Pick<Surroundings, "stderr" | "signal">,
): Promise<PointValidation[]> => {
  const points = result.items.flatMap(({ passes }) => passes.flatMap((pass) => pass.points)).length;
  const { trials = 0 } = settings;
  if (typeof trials === "number" && trials * points < worthThreads) return validatePoints(log, result, settings);
  return withWorkforce({}, (force) =>
    force.validatePoints(log, result, settings, { onProgress: showProgress(stderr), signal }),
  );
};
