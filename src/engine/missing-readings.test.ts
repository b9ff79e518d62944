import { describe, expect, it } from "vitest";
import { failure } from "#fault";
import type { RunEvent, RunEventOf } from "#calibration";
import {
  AnalyticBench,
  conductAnalytic,
  inventedJob,
  JumpingClock,
  MemoryJournal,
  openingOf,
} from "./analytic-bench.test-support.ts";
import { MissingReadings } from "./missing-readings.ts";
import { createRunner } from "./runner.ts";

const by = "Ines Holloway";

const missing = (log: readonly RunEvent[]): RunEventOf<"fault-seen">[] =>
  log.filter(
    (event): event is RunEventOf<"fault-seen"> => event.kind === "fault-seen" && event.code === "reading.missing",
  );
const timesOf = (log: readonly RunEvent[], channel: string): number[] =>
  log.flatMap((event) => (event.kind === "readings-taken" && event.channel === channel ? event.times : []));
/** How many readings the sentences name in all. */
const told = (faults: readonly RunEventOf<"fault-seen">[]): number =>
  faults.reduce((sum, { message }) => sum + Number(/^(\d+)/.exec(message)![1]), 0);

describe("a scheduled reading that is not in the log", () => {
  it("of one channel is said with its reason, and the counts add up although a few lines say it [E72]", async () => {
    let asked = 0;
    const { log } = await conductAnalytic(inventedJob(), {
      channel: (channel) => {
        if (channel !== "item-1") return null;
        asked += 1;
        return asked % 10 === 3 ? { code: "instrument.garbled", message: "Half an answer came." } : null;
      },
    });
    expect(log.at(-1)).toMatchObject({ outcome: "completed" });
    const faults = missing(log);
    const [reference, item] = [timesOf(log, "reference"), timesOf(log, "item-1")];
    expect(reference.length - item.length).toBeGreaterThan(30);
    expect(told(faults)).toBe(reference.length - item.length);
    expect(faults.length).toBeLessThan(12);
    expect(faults[0]).toMatchObject({ channel: "item-1", message: expect.stringContaining("Half an answer came.") });
    // It pauses nothing and is no fault of the point.
    expect(log.some(({ kind }) => kind === "run-paused")).toBe(false);
  });

  it("because the bench is too slow is counted in rounds [E72]", async () => {
    const job = inventedJob({ procedure: { readings: { count: 10, interval: 2 } } });
    const clock = new JumpingClock();
    const bench = new AnalyticBench(job, clock);
    const read = bench.read.bind(bench);
    bench.read = async (channels) => {
      const answers = await read(channels);
      // Between 100 s and 160 s each round takes five seconds.
      if (clock.time > 100 && clock.time < 160) clock.time += 5;
      return answers;
    };
    const journal = new MemoryJournal([openingOf(job)]);
    const runner = createRunner({ bench, clock, journal, log: journal.events });
    await runner.start();
    await runner.command({ command: "start", by });
    expect(await runner.done).toEqual({ outcome: "completed" });
    const faults = missing(journal.events);
    expect(faults[0]?.message).toMatch(
      /^\d+ scheduled rounds? of readings w.* not read .*The round before took \d\.00 s, and one is asked for every 2 s\./,
    );
    const times = timesOf(journal.events, "reference");
    const scheduled = Math.round((times.at(-1)! - times[0]!) / 2) + 1;
    expect(told(faults) + times.length).toBeGreaterThanOrEqual(scheduled - 1);
    expect(told(faults) + times.length).toBeLessThanOrEqual(scheduled + 1);
  });

  it("is said once more only when there are twice as many, while it lasts not at all, and at the end in any case [E72]", () => {
    const readings = new MissingReadings();
    const sayAt = (at: number, ending = false): string[] => {
      const due = readings.due(at, ending);
      due.said();
      return due.drafts.map((draft) => (draft.kind === "fault-seen" ? draft.message : ""));
    };
    readings.channel("item-1", 10, "Why.");
    expect(sayAt(11)).toEqual([]);
    readings.heard("item-1");
    expect(sayAt(12)).toEqual(["1 scheduled reading of item-1 did not come at 10.0 s. Why."]);
    readings.channel("item-1", 20, "Why.");
    readings.heard("item-1");
    expect(sayAt(21)).toEqual(["1 scheduled reading of item-1 did not come at 20.0 s (2 in this run so far). Why."]);
    readings.channel("item-1", 30, "Why.");
    readings.heard("item-1");
    expect(sayAt(31)).toEqual([]);
    expect(sayAt(40, true)).toEqual([
      "1 scheduled reading of item-1 did not come at 30.0 s (3 in this run so far). Why.",
    ]);
    // What has paused the run was said by the fault that paused it.
    readings.channel("item-2", 50, "Why.");
    readings.forget("item-2");
    expect(sayAt(60, true)).toEqual([]);
    expect(failure("reading.missing", "").fault.code).toBe("reading.missing");
  });
});
