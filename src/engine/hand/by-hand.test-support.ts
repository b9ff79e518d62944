import { unwrap } from "#fault";
import { evaluate, typedResolution, type Job, type JobInput, type RunEvent, type RunEventOf } from "#calibration";
import {
  AnalyticBench,
  inventedJob,
  JumpingClock,
  MemoryJournal,
  openingOf,
  type BenchTroubles,
} from "../analytic-bench.test-support.ts";
import type { RunCommand } from "../inputs.ts";
import { createRunner, type Runner } from "../runner.ts";
import type { EngineView } from "../view.ts";

export const by = "Ines Holloway";

/** A dial thermometer, read by eye to a fifth of a division of 1 °C. */
export const dial: Partial<JobInput["items"][number]> = {
  tag: "TI-101",
  description: "dial thermometer",
  sensor: { kind: "indication" },
  unit: "°C",
  tolerance: { kelvin: 1 },
};

/** Both points of the invented job. */
export const twoPoints = { points: [{ temperature: 50 }, { temperature: 100 }] };

/** The dial beside the wired reference of the invented job, at one point where nothing else is said. */
export const dialJob = (
  procedure: Partial<JobInput["procedure"]> = {},
  item: Partial<typeof dial> = {},
  second?: Partial<JobInput["items"][number]>,
): Job =>
  inventedJob({
    item: { ...dial, ...item },
    ...(second === undefined ? {} : { second }),
    procedure: { points: [{ temperature: 50 }], settling: { target: { fractionOfTolerance: 0.3 } }, ...procedure },
    channels: { "item-1": { typed: true, unit: "°C", resolution: 0.2 } },
  });

/** Nothing has a wire: the reference is read off its readout in Ω, the source is set by hand. */
export const everythingByHand = (procedure: Partial<JobInput["procedure"]> = {}): Job => {
  const job = dialJob(procedure);
  return {
    ...job,
    bench: {
      source: "by-hand",
      instruments: [],
      channels: {
        reference: { typed: true, unit: "Ω", resolution: 0.001 },
        "item-1": { typed: true, unit: "°C", resolution: 0.2 },
      },
    },
  };
};

export interface Person {
  /** What is typed for a channel that is asked for; null: nothing, nobody is there. By default what the bench shows. */
  readonly types?: (channel: string, shown: string, view: EngineView) => string | null;
  /** What else a person asks of the run, looked at before a reading is typed. */
  readonly does?: (view: EngineView) => RunCommand | null;
}

const digits: Readonly<Record<string, number>> = { reference: 3, "item-1": 1, "item-2": 1 };

/** A run on the analytic bench with a person who reads what is asked for; its clock stands still while they type. */
export const conductByHand = async (
  job: Job,
  person: Person = {},
  {
    troubles = {},
    log,
    until,
  }: { troubles?: BenchTroubles; log?: readonly RunEvent[]; until?: (view: EngineView) => boolean } = {},
) => {
  const journal = new MemoryJournal(log ?? [openingOf(job)]);
  const clock = new JumpingClock(journal.events.at(-1)!.at);
  const bench = new AnalyticBench(job, clock, troubles);
  const refusals: string[] = [];
  let busy = false;
  let over: (end: null) => void = () => undefined;
  const stopped = new Promise<null>((resolve) => (over = resolve));
  const shownOn = async (channel: string): Promise<string> => {
    const [answer] = await bench.read([channel]);
    const resolution = typedResolution(job, channel);
    const { value } = unwrap(answer!.outcome);
    const rounded = resolution > 0 ? Math.round(value / resolution) * resolution : value;
    return rounded.toFixed(digits[channel] ?? 1);
  };
  const answerOf = async (view: EngineView): Promise<RunCommand | null> => {
    const own = person.does?.(view) ?? null;
    if (own !== null) return own;
    if (view.hand?.setPoint != null) {
      await bench.commandSetPoint(view.hand.setPoint);
      await bench.switchOutput(true);
      return { command: "confirm-set-point", by };
    }
    if (view.hand?.question != null) return { command: "confirm-reading", by };
    const channel = view.hand?.asked?.channels[0];
    if (channel === undefined) return null;
    const shown = await shownOn(channel);
    const typed = person.types === undefined ? shown : person.types(channel, shown, view);
    return typed === null ? null : { command: "enter-reading", by, channel, typed };
  };
  const look = (runner: Runner, view: EngineView): void => {
    if (until?.(view) === true) over(null);
    if (busy) return;
    busy = true;
    void (async () => {
      const command = await answerOf(view);
      if (command !== null) {
        const answer = await runner.command(command);
        if (!answer.ok) refusals.push(answer.fault.message);
      }
      busy = false;
    })();
  };
  const runner: Runner = createRunner({
    bench,
    clock,
    journal,
    log: journal.events,
    onView: (view) => look(runner, view),
  });
  unwrap(await runner.start());
  await runner.command({ command: runner.view().commands.includes("start") ? "start" : "resume", by });
  const end = await Promise.race([runner.done, stopped]);
  if (end === null) await runner.leave();
  return { log: journal.events, bench, runner, refusals };
};

export const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

/** Readings that somebody typed. */
export const typedIn = (log: readonly RunEvent[]) =>
  ofKind(log, "readings-taken").filter((event) => event.by !== undefined);

/** Results of the first item as found. */
export const pointsOf = (log: readonly RunEvent[]) => evaluate(log).items[0]!.passes[0]!.points;

/** A command, once, when the run shows something. */
export const once = (when: (view: EngineView) => boolean, command: (view: EngineView) => RunCommand) => {
  let done = false;
  return (view: EngineView): RunCommand | null => {
    if (done || !when(view)) return null;
    done = true;
    return command(view);
  };
};
