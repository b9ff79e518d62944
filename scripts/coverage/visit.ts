import { lockStepClock, startSimulatedBench } from "#bench";
import { evaluate, type EventDraft, type Job, type RunEvent } from "#calibration";
import { createRunner, openRun, type Journal } from "#engine";
import { unwrap } from "#fault";
import { openBench, type InstrumentEntry } from "#instruments";

/** One measured point of one visit: what was stated, and what the simulated bench knows. Temperatures in K. */
export interface Outcome {
  readonly seed: number;
  readonly pass: string;
  readonly nominal: number;
  readonly error: number;
  readonly U: number;
  readonly truth: number;
  readonly target: number;
  /** From the set-point change to the end of the readings, s. */
  readonly seconds: number;
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

const opened = "2026-11-25T08:00:00Z";

const secondsOf = (log: readonly RunEvent[], pass: string, point: number): number => {
  const measured = log.findLast(
    (event) => event.kind === "point-measured" && event.pass === pass && event.point === point,
  );
  const commanded = log.findLast(
    (event) => event.kind === "set-point-commanded" && event.pass === pass && event.point === point,
  );
  return (measured?.at ?? Number.NaN) - (commanded?.at ?? Number.NaN);
};

/**
 * One whole visit on the simulated bench, at full speed: the real engine, codecs and evaluation, with wires in memory in
 * place of sockets. The truth is asked at each point at the moment it has been measured, since an adjustment changes it.
 */
export const visit = async (
  job: Job,
  entries: readonly InstrumentEntry[],
  seed: number,
): Promise<readonly Outcome[]> => {
  const clock = lockStepClock({ speed: Number.POSITIVE_INFINITY });
  const bench = await startSimulatedBench({
    simulation: job.bench.simulation,
    instruments: job.bench.instruments,
    channels: job.bench.channels,
    kit: job.kit,
    items: job.items,
    clock,
    seed,
    day: opened.slice(0, 10),
    listen: false,
  });
  const port = openBench({
    instruments: job.bench.instruments,
    channels: job.bench.channels,
    entries,
    connect: bench.connect,
    clock,
  });
  const opening = openRun({
    job,
    run: `coverage-${seed}`,
    opened,
    seed,
    software: { name: "dwellpoint", version: "coverage" },
    catalog: [],
  });
  const journal = new MemoryJournal(opening);
  const truths = new Map<string, number>();
  const runner = createRunner({
    bench: port,
    clock,
    journal,
    log: journal.events,
    onEvents: (events) => {
      for (const event of events) {
        if (event.kind !== "point-measured") continue;
        for (const item of job.items) {
          truths.set(
            `${item.id} ${event.pass} ${event.point}`,
            bench.truth(item.id, job.procedure.points[event.point]!.temperature, event.at),
          );
        }
      }
    },
  });
  unwrap(await runner.start());
  unwrap(await runner.command({ command: "start", by: "coverage" }));
  await runner.done;
  await runner.leave();
  await port.close();
  await bench.close();
  const log = journal.events;
  return evaluate(log).items.flatMap(({ item, passes }) =>
    passes.flatMap(({ pass, points }) =>
      points.flatMap((point): Outcome[] => {
        const truth = truths.get(`${item} ${pass} ${point.point}`);
        if (point.status !== "measured" || truth === undefined) return [];
        const settled = log.findLast(
          (event) => event.kind === "point-settled" && event.pass === pass && event.point === point.point,
        );
        return [
          {
            seed,
            pass,
            nominal: point.nominal,
            error: point.error.value,
            U: point.budget.U,
            truth,
            target: settled?.kind === "point-settled" ? settled.evidence.target : Number.NaN,
            seconds: secondsOf(log, pass, point.point),
          },
        ];
      }),
    ),
  );
};
