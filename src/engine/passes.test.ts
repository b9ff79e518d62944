import { describe, expect, it } from "vitest";
import type { JobInput, RunEvent } from "#calibration";
import { AnalyticBench, inventedJob, JumpingClock, MemoryJournal, openingOf } from "./analytic-bench.test-support.ts";
import { createRunner } from "./runner.ts";

const by = "Ines Holloway";
const twoPasses: Partial<JobInput["procedure"]> = {
  passes: ["as-found", "as-left"],
  adjustment: { kind: "zero-and-span", adjustAbove: 0.5, authorisedBy: "Tomas Brandvold" },
};

const transmitter: Partial<JobInput["items"][number]> = {
  sensor: { kind: "loop", lower: 0, upper: 150 },
  unit: "mA",
  range: { lower: 0, upper: 150 },
};

const conduct = async (error: number) => {
  const job = inventedJob({ procedure: twoPasses, item: transmitter });
  const clock = new JumpingClock();
  let trimmed = 0;
  const bench = new AnalyticBench(job, clock, { item: (temperature) => temperature + error + trimmed });
  const adjust = bench.adjustItem.bind(bench);
  bench.adjustItem = async (item, zero, span) => {
    trimmed += zero;
    return adjust(item, zero, span);
  };
  const journal = new MemoryJournal([openingOf(job)]);
  const runner = createRunner({ bench, clock, journal, log: journal.events });
  await runner.start();
  await runner.command({ command: "start", by });
  await runner.done;
  return { bench, log: journal.events, runner };
};

const measured = (log: readonly RunEvent[]) =>
  log.flatMap((event) => (event.kind === "point-measured" ? [`${event.pass} ${event.point}`] : []));

describe("as found, adjustment, as left", () => {
  it("an item well inside its tolerance is left alone, and as left is as found [E12]", async () => {
    const { bench, log } = await conduct(0.05);
    expect(bench.adjusted).toEqual([]);
    expect(measured(log)).toEqual(["as-found 0", "as-found 1"]);
    expect(log.filter((event) => event.kind === "point-skipped").map((event) => event.reason)).toEqual([
      "not adjusted: as left is as found",
      "not adjusted: as left is as found",
    ]);
  });

  it("an item off by most of its tolerance is adjusted by what the as-found log says, then measured again [E9, E12]", async () => {
    const { bench, log, runner } = await conduct(0.4);
    expect(bench.adjusted).toHaveLength(1);
    expect(bench.adjusted[0]!.zero).toBeCloseTo(-0.4, 1);
    expect(measured(log)).toEqual(["as-found 0", "as-found 1", "as-left 0", "as-left 1"]);
    const kinds = log.map((event) => event.kind);
    expect(kinds.indexOf("item-adjusted")).toBeGreaterThan(kinds.lastIndexOf("run-opened"));
    const left = runner.view().route.filter((stop) => stop.pass === "as-left");
    for (const stop of left) expect(Math.abs(stop.errors[0]!.error)).toBeLessThan(0.05);
  });

  it("once adjusted, an as-found point cannot be repeated [E9]", async () => {
    const job = inventedJob({ procedure: twoPasses, item: transmitter });
    const clock = new JumpingClock();
    const bench = new AnalyticBench(job, clock, { item: (temperature) => temperature + 0.4 });
    const journal = new MemoryJournal([openingOf(job)]);
    let refusal: unknown = null;
    const runner = createRunner({
      bench,
      clock,
      journal,
      log: journal.events,
      onView: (view) => {
        if (view.pass === "as-left" && refusal === null) {
          refusal = runner.command({ command: "repeat-point", by, reason: "curious", pass: "as-found", point: 0 });
        }
      },
    });
    await runner.start();
    await runner.command({ command: "start", by });
    await runner.done;
    expect(await refusal).toMatchObject({ ok: false, fault: { code: "run.not-allowed" } });
  });
});

describe("the place of a point", () => {
  it("a source that never leaves where it was is not measured, however steady [E10]", async () => {
    const job = inventedJob({ procedure: { settling: { target: { kelvin: 0.05 }, longestWait: 1800 } } });
    const clock = new JumpingClock();
    const bench = new AnalyticBench(job, clock);
    bench.commandSetPoint = async () => ({ ok: true, value: null });
    const journal = new MemoryJournal([openingOf(job)]);
    const runner = createRunner({ bench, clock, journal, log: journal.events });
    await runner.start();
    await runner.command({ command: "start", by });
    await expect.poll(() => runner.view().stage).toBe("paused");
    expect(runner.view().sentence.happening).toContain("50 °C has not settled within 30 minutes");
    expect(measured(journal.events)).toEqual([]);
    await runner.command({ command: "stop", by });
  });
});
