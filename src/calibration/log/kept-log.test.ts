import { describe, expect, it } from "vitest";
import { evaluate } from "../evaluate/evaluate.ts";
import { inventedJob, InventedRun } from "../evaluate/invented-run.test-support.ts";
import { referenceSchema } from "../job/kit.ts";
import { RampLog, rampJob } from "../switch/ramp-log.test-support.ts";
import type { RunEvent, RunEventOf } from "./events.ts";
import { KeptLog } from "./kept-log.ts";

const by = "demo technician";
/** Around a window five readings more are kept, 2 s apart. */
const reach = 10;
const evidence = {
  from: 0,
  to: 60,
  estimate: 0,
  remainder: 0.01,
  standardUncertainty: 0.002,
  slope: 0,
  slopeStandardError: 1e-5,
  autocorrelation: 0.1,
  target: 0.05,
};

/** A run whose channels are read every 2 s, ten readings to a line, whatever else happens. */
class ReadRun extends InventedRun {
  reads(seconds: number, ohm = 119.4, channels: readonly string[] = ["reference", "item-1"]): this {
    const until = this.at + seconds;
    while (this.at < until) {
      const from = this.at;
      const times = Array.from({ length: 10 }, (_, index) => from + 2 * index + 2);
      // Values that differ everywhere, so that a reading that is missing shows.
      for (const channel of channels)
        this.readings(
          channel,
          "Ω",
          times,
          times.map((time) => ohm + 1e-3 * Math.sin(time)),
          null,
        );
      this.at = times.at(-1)!;
    }
    return this;
  }

  window(point: number, seconds: number, item?: string): this {
    const from = this.at;
    this.reads(seconds);
    this.add({
      kind: "point-measured",
      pass: "as-found",
      point,
      from,
      to: this.at,
      ...(item === undefined ? {} : { item }),
    });
    return this;
  }
}
const fresh = (): ReadRun => new ReadRun(inventedJob()).begin() as ReadRun;
const commanded = (run: ReadRun, point: number): ReadRun => {
  run.add({ kind: "set-point-commanded", pass: "as-found", point, temperature: 50 });
  return run;
};
const settled = (run: ReadRun, point = 0): ReadRun => {
  run.add({ kind: "point-settled", pass: "as-found", point, item: "item-pt", evidence });
  return run;
};
const keptOf = (log: readonly RunEvent[]): KeptLog => {
  const kept = new KeptLog();
  for (const event of log) kept.add(event);
  return kept;
};
const blocksOf = (log: readonly RunEvent[], channel = "item-1"): RunEventOf<"readings-taken">[] =>
  log.filter(
    (event): event is RunEventOf<"readings-taken"> => event.kind === "readings-taken" && event.channel === channel,
  );
/** First moments of the lines of readings that are kept. */
const startsOf = (kept: KeptLog, channel = "item-1"): number[] =>
  blocksOf(kept.events(), channel).map(({ times }) => times[0]!);
/** The same of a whole log, those that reach into a stretch. */
const within = (log: readonly RunEvent[], from: number, to: number): number[] =>
  blocksOf(log)
    .filter(({ times }) => times.at(-1)! >= from && times[0]! <= to)
    .map(({ times }) => times[0]!);

const momentsOf = (log: readonly RunEvent[], channel = "item-1"): number[] =>
  blocksOf(log, channel).flatMap(({ times }) => times);
/** Moments of a log's readings that lie in a stretch. */
const momentsWithin = (log: readonly RunEvent[], from: number, to: number, channel = "item-1"): number[] =>
  momentsOf(log, channel).filter((time) => time >= from && time <= to);
/** The same of whole lines that reach into a stretch. */
const linesWithin = (log: readonly RunEvent[], from: number, to: number): number[] =>
  blocksOf(log)
    .filter(({ times }) => times.at(-1)! >= from && times[0]! <= to)
    .flatMap(({ times }) => times);

/** Where the run stood when what was kept of it did not give the result of the whole: nowhere, it is to be hoped. */
const differencesIn = (log: readonly RunEvent[]): number[] => {
  const kept = new KeptLog();
  return log.flatMap((event, index) => {
    kept.add(event);
    if (event.kind === "readings-taken" && index % 50 !== 0) return [];
    const [short, whole] = [evaluate(kept.events()), evaluate(log.slice(0, index + 1))];
    return JSON.stringify(short) === JSON.stringify(whole) ? [] : [index];
  });
};

describe("what is kept of a log while its run goes on", () => {
  it("is every event but readings, and of those the windows with 10 s around them and the last 306 s", () => {
    const run = settled(commanded(fresh(), 0).reads(1000)).window(0, 60).reads(3000);
    const { events } = run;
    const kept = keptOf(events);
    const measured = events.find((event) => event.kind === "point-measured")!;
    // Three times the 2 s from one reading to the next beyond 300 s.
    const [from, to] = [measured.from - reach, measured.to + reach];
    const wanted = [...momentsWithin(events, from, to), ...linesWithin(events, run.at - 306, run.at)];
    expect(momentsOf(kept.events())).toEqual(wanted);
    // Of the reference also the first line of readings after the command.
    const first = blocksOf(events, "reference").find(({ times }) => times[0] === 2)!.times;
    expect(momentsOf(kept.events(), "reference")).toEqual([...first, ...wanted]);
    expect(kept.readings).toBe(2 * wanted.length + first.length);
    const others = (log: readonly RunEvent[]) => log.filter(({ kind }) => kind !== "readings-taken");
    expect(others(kept.events())).toEqual(others(events));
    expect(kept.events().map(({ n }) => n)).toEqual(
      kept
        .events()
        .map(({ n }) => n)
        .toSorted((a, b) => a - b),
    );
    expect(kept.events().thinned).toBe(true);
    expect(() => evaluate([...kept.events()])).toThrow(/a line is missing/);
  });

  it("gives the result of the whole log at every moment", () => {
    const run = settled(commanded(fresh(), 0).reads(900)).window(0, 400);
    settled(commanded(run.reads(700), 1).reads(900), 1)
      .window(1, 60)
      .reads(700);
    run.add({ kind: "point-repeated", pass: "as-found", point: 0, reason: "spike", by });
    settled(commanded(run, 0).reads(800)).window(0, 60);
    run.add({ kind: "reading-rejected", channel: "item-1", time: run.at - 4, reason: "spike" });
    run.reads(800);
    expect(differencesIn(run.end())).toEqual([]);
  });

  it("keeps what may belong to a window that is not closed yet", () => {
    const run = settled(commanded(fresh(), 0).reads(600));
    const begun = run.at;
    run.reads(2000);
    const all = within(run.events, begun - reach, run.at);
    expect(startsOf(keptOf(run.events))).toEqual(all);
    // Given up, it is let go with the next line of readings; likewise by another set point.
    for (const giveUp of [
      () => run.add({ kind: "point-skipped", pass: "as-found", point: 0, reason: "late", by }),
      () => commanded(settled(run).reads(900), 1),
    ]) {
      giveUp();
      run.reads(20);
      expect(startsOf(keptOf(run.events))).toEqual(within(run.events, run.at - 306, run.at));
    }
  });

  it("keeps the windows of items apart: one that is measured does not close the other's", () => {
    const run = settled(commanded(fresh(), 0).reads(600));
    run.add({ kind: "point-settled", pass: "as-found", point: 0, item: "item-2", evidence });
    const begun = run.at;
    run.window(0, 60, "item-pt").reads(1500);
    const wanted = [
      ...momentsWithin(run.events, begun - reach, begun - 1e-9),
      ...linesWithin(run.events, begun, run.at),
    ];
    expect(momentsOf(keptOf(run.events).events())).toEqual(expect.arrayContaining(wanted));
    expect(momentsOf(keptOf(run.events).events()).length).toBeLessThan(momentsOf(run.events).length);
  });

  it("keeps the closing check", () => {
    const { procedure } = inventedJob();
    const closingCheck = { kind: "ice-point" as const, halfWidth: 0.01, limit: 0.1 };
    const run = new ReadRun(inventedJob({ procedure: { ...procedure, closingCheck } })).begin() as ReadRun;
    settled(commanded(run, 0).reads(900)).window(0, 60).reads(900, 100.012);
    run.add({ kind: "check-settled", evidence });
    const from = run.at;
    run.reads(400, 100.012);
    run.add({ kind: "check-measured", from, to: run.at, by });
    run.reads(900, 100.012);
    expect(evaluate(run.events).closingCheck!.status).toBe("holds");
    expect(differencesIn(run.events)).toEqual([]);
    expect(momentsOf(keptOf(run.events).events(), "reference")).toEqual(
      expect.arrayContaining(momentsWithin(run.events, from - reach, from + 400 + reach, "reference")),
    );
  });

  it("follows the reference that is in use, on whatever channel", () => {
    const run = commanded(fresh(), 0).reads(900);
    const reference = referenceSchema.parse({ ...run.job.kit.reference, serial: "other", channel: "second" });
    run.add({ kind: "kit-replaced", reference, earlier: "keep", reason: "broke", by });
    run.reads(900, 119.4, ["second", "item-1"]);
    commanded(run, 1);
    const at = run.at;
    run.reads(900, 119.4, ["reference", "second", "item-1"]);
    // The line that ends at the very moment of the command holds it.
    expect(startsOf(keptOf(run.events), "second")).toContain(at - 18);
    expect(startsOf(keptOf(run.events), "reference")).not.toContain(at + 2);
  });

  it("keeps the reference's first reading after a command, also where its line stands before it", () => {
    const run = fresh().reads(40);
    // The line of readings ends at the very moment of the command.
    commanded(run, 0).reads(2000);
    expect(startsOf(keptOf(run.events), "reference")[0]).toBe(22);
    expect(differencesIn(settled(run).window(0, 60).events)).toEqual([]);
  });

  it("begins a window anew after a pause", () => {
    const run = settled(commanded(fresh(), 0).reads(600)).reads(600);
    run.add({ kind: "run-paused", reason: "asked", by });
    run.reads(2000);
    expect(startsOf(keptOf(run.events))).toEqual(within(run.events, run.at - 306, run.at));
    run.add({ kind: "run-resumed", by });
    const again = run.at;
    run.reads(1000);
    expect(startsOf(keptOf(run.events))).toEqual(within(run.events, again - reach, run.at));
  });

  it("keeps every rejection, and warns of none whose reading was let go", () => {
    const run = commanded(fresh(), 0).reads(2000);
    run.add({ kind: "reading-rejected", channel: "item-1", time: 502, reason: "spike" });
    run.add({ kind: "reading-rejected", channel: "item-1", time: run.at - 10, reason: "spike" });
    run.add({ kind: "reading-rejected", channel: "reference", time: 2, reason: "spike" });
    const rejected = keptOf(run.events)
      .events()
      .flatMap((event) => (event.kind === "reading-rejected" ? [event.time] : []));
    expect(rejected).toEqual([502, run.at - 10, 2]);
    expect(evaluate(keptOf(run.events).events()).duration).toBe(evaluate(run.events).duration);
    settled(run).window(0, 60);
    expect(evaluate(keptOf(run.events).events())).toEqual(evaluate(run.events));
  });

  it("keeps a switch's changes with the two minutes before them", () => {
    const log = new RampLog(rampJob()).cycles([90.3, 90.4, 90.5], [86.9, 86.8, 86.7]);
    expect(differencesIn(log.end())).toEqual([]);
    expect(keptOf(log.events).lines).toBe(log.events.length);
  });
});
