import { lockStepClock, simulationSchema, startSimulatedBench, type PlantOptions, type SimulationInput } from "#bench";
import { evaluate, wiredChannels, type EventDraft, type Job, type Result, type RunEvent } from "#calibration";
import { createRunner, openRun, type Clock, type Journal, type Runner } from "#engine";
import { Fault, unwrap } from "#fault";
import { openBench, type InstrumentEntry } from "#instruments";
import type { BenchDeed } from "./approach-truth.ts";
import type { MadeForecast } from "./outcome.ts";

/** A run to be conducted: the job, and what its simulated bench really is. */
export interface RehearsedRun {
  readonly job: Job;
  readonly simulation: SimulationInput;
  /** Items as the bench is told of them: what the physics brings itself is left out, so that it is not drawn once more. */
  readonly benchItems: Job["items"];
  readonly entries: readonly InstrumentEntry[];
  readonly seed: number;
}

/** A look at the run while it waited. */
export interface LiveLook {
  readonly at: number;
  /** The reference, °C. */
  readonly reference: number | null;
  readonly forecasts: Readonly<Record<string, MadeForecast>>;
}

export interface ConductedRun {
  readonly log: readonly RunEvent[];
  readonly result: Result;
  readonly deeds: readonly BenchDeed[];
  readonly looks: readonly LiveLook[];
  readonly plant: PlantOptions;
}

class MemoryJournal implements Journal {
  readonly events: RunEvent[];
  constructor(first: RunEvent) {
    this.events = [first];
  }
  async append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]> {
    const numbered = drafts.map((draft, index) => ({ ...draft, n: this.events.length + index }) as RunEvent);
    this.events.push(...numbered);
    return numbered;
  }
}

/** Day of all rehearsals: within the calibrations of the kit where that is possible. */
const openedFor = (job: Job): string => {
  const { reference, readout } = job.kit;
  const earliestDue = [reference.calibration.due, readout.calibration.due].toSorted()[0]!;
  const usual = "2026-11-25";
  const begun = [reference.calibration.date, readout.calibration.date].toSorted().at(-1)!;
  return `${usual <= earliestDue && usual >= begun ? usual : begun}T08:00:00Z`;
};

const attendant = "rehearsal";
/** What a run may take beyond the longest waits of its points before it is stopped, s. */
const spare = 7200;

/**
 * The person at the bench: gives a point up that has not settled in the longest wait, and stops a run that stands still
 * for any other reason, since nobody can put right what a rehearsal has broken.
 */
const attend = (runner: Runner, events: readonly RunEvent[]): void => {
  for (const event of events) {
    if (event.kind !== "run-paused" || event.by !== "engine") continue;
    const fault = events.findLast((each) => each.kind === "fault-seen");
    const command =
      fault?.kind === "fault-seen" && fault.code === "settling.too-slow"
        ? ({ command: "skip-point", by: attendant, reason: fault.message } as const)
        : ({ command: "stop", by: attendant, reason: event.reason } as const);
    void runner.command(command);
  }
};

const lookAt = (runner: Runner): LiveLook => {
  const view = runner.view();
  return {
    at: view.at,
    reference: view.reference?.temperature ?? null,
    forecasts: Object.fromEntries(
      view.settling.flatMap(({ item, forecast }) =>
        forecast === null
          ? []
          : [[item, { made: view.at, at: forecast.at, from: forecast.from, to: forecast.to }] as const],
      ),
    ),
  };
};

const deedOf = (event: RunEvent, trimsOf: (item: string) => { zero: number; span: number } | null): BenchDeed[] => {
  if (event.kind === "set-point-commanded")
    return [{ kind: "set-point", at: event.at, temperature: event.temperature }];
  if (event.kind === "output-switched") return [{ kind: "output", at: event.at, on: event.on }];
  if (event.kind !== "item-adjusted") return [];
  const trims = trimsOf(event.item);
  return trims === null ? [] : [{ kind: "trim", at: event.at, item: event.item, ...trims }];
};

/** Stops the run when its clock has passed a moment, so that a run that waits for a person ends at all. */
const withLimit = (clock: Clock, limit: number, stop: () => void): Clock => ({
  now: () => clock.now(),
  async sleepUntil(at, signal) {
    await clock.sleepUntil(at, signal);
    if (clock.now() > limit) stop();
  },
});

/**
 * One whole run on the simulated bench, as fast as the machine goes: the real runner, codecs and evaluation, with wires in
 * memory in place of sockets. The same run gives the same log. Throws a Fault where the run cannot begin.
 */
export const conduct = async ({ job, simulation, benchItems, entries, seed }: RehearsedRun): Promise<ConductedRun> => {
  const clock = lockStepClock({ speed: Number.POSITIVE_INFINITY });
  const opened = openedFor(job);
  const { instruments } = job.bench;
  const channels = wiredChannels(job.bench);
  const about = { channels, kit: job.kit, items: benchItems, seed, day: opened.slice(0, 10) };
  const bench = await startSimulatedBench({ simulation, instruments, clock, listen: false, ...about });
  const port = openBench({ instruments, channels, entries, connect: bench.connect, clock });
  const opening = openRun({
    job,
    run: `rehearsal-${seed}`,
    opened,
    seed,
    software: { name: "dwellpoint", version: "rehearsal" },
    catalog: [],
  });
  const journal = new MemoryJournal(opening);
  const deeds: BenchDeed[] = [];
  const looks: LiveLook[] = [];
  const limit =
    spare + job.procedure.points.length * job.procedure.passes.length * (job.procedure.settling.longestWait + 600);
  let stopping = false;
  const runner = createRunner({
    bench: port,
    clock: withLimit(clock, limit, () => {
      if (!stopping) void runner.command({ command: "stop", by: attendant, reason: "the rehearsal took too long" });
      stopping = true;
    }),
    journal,
    log: journal.events,
    // Remarks on the errors so far change no decision; thousands of runs can do without them.
    namePatterns: false,
    onEvents: (events) => {
      for (const event of events) deeds.push(...deedOf(event, (item) => bench.plant.trims(item)));
      if (events.some(({ kind }) => kind === "readings-taken")) looks.push(lookAt(runner));
      attend(runner, events);
    },
  });
  try {
    unwrap(await runner.start());
    unwrap(await runner.command({ command: "start", by: attendant }));
    await runner.done;
  } finally {
    await runner.leave();
    await port.close();
    await bench.close();
  }
  const log = journal.events;
  if (log.length < 3) throw new Fault("internal", "The rehearsed run ended before it began.");
  return {
    log,
    result: evaluate(log),
    deeds,
    looks,
    plant: {
      simulation: simulationSchema.parse(simulation),
      sources: instruments.filter(({ role }) => role === "source").map(({ id }) => id),
      startAt: 0,
      ...about,
    },
  };
};
