import { describe, expect, it } from "vitest";
import { Fault } from "#fault";
import { runEventSchema, type RunEvent } from "#calibration";
import {
  AnalyticBench,
  inventedJob,
  JumpingClock,
  MemoryJournal,
  openingOf,
  type BenchTroubles,
} from "./analytic-bench.test-support.ts";
import { createRunner, type Runner } from "./runner.ts";

const prepared = (job = inventedJob(), troubles: BenchTroubles = {}, log: readonly RunEvent[] = [openingOf(job)]) => {
  const clock = new JumpingClock(log.at(-1)!.at);
  const bench = new AnalyticBench(job, clock, troubles);
  const journal = new MemoryJournal(log);
  const paused: { check: ((runner: Runner) => void) | null } = { check: null };
  const runner: Runner = createRunner({ bench, clock, journal, log, onView: () => paused.check?.(runner) });
  return { clock, bench, journal, runner, paused };
};

/** Resolves when the run pauses. */
const untilPaused = ({ paused }: ReturnType<typeof prepared>): Promise<string> =>
  new Promise((resolve) => {
    paused.check = (runner) => {
      const view = runner.view();
      if (view.stage === "paused") resolve(view.sentence.happening);
    };
  });

const by = "Ines Holloway";
const kinds = (log: readonly RunEvent[]) =>
  log.filter((event) => event.kind !== "readings-taken").map((event) => event.kind);

describe("a run over its ports", () => {
  it("visits the points in order and ends with the source off [E1, E6]", async () => {
    const { runner, bench, journal } = prepared();
    await runner.start();
    await runner.command({ command: "start", by });
    expect(await runner.done).toEqual({ outcome: "completed" });
    expect(bench.commanded).toEqual([50, 100]);
    expect(bench.switched).toEqual([true, false]);
    expect(kinds(journal.events)).toEqual([
      "run-opened",
      "pass-begun",
      "set-point-commanded",
      "output-switched",
      "point-settled",
      "point-measured",
      "set-point-commanded",
      "point-settled",
      "point-measured",
      "output-switched",
      "run-ended",
    ]);
    for (const event of journal.events) expect(runEventSchema.safeParse(event).success).toBe(true);
    const settled = journal.events.find((event) => event.kind === "point-settled");
    expect(settled?.evidence.estimate).toBeCloseTo(0.1, 2);
  });

  it("pauses at an open circuit, names it, and goes on after resume [E7]", async () => {
    let open = false;
    const setting = prepared(inventedJob(), {
      channel: (channel) =>
        open && channel === "item-1" ? { code: "signal.open-circuit", message: "overload" } : null,
    });
    await setting.runner.start();
    await setting.runner.command({ command: "start", by });
    open = true;
    const sentence = await untilPaused(setting);
    expect(sentence).toContain("The circuit of TT-101 is open");
    open = false;
    setting.paused.check = null;
    await setting.runner.command({ command: "resume", by });
    expect(await setting.runner.done).toEqual({ outcome: "completed" });
  });

  it("names an item that moves the wrong way [E7]", async () => {
    const setting = prepared(inventedJob(), { item: (temperature) => 44 - temperature });
    await setting.runner.start();
    const pause = untilPaused(setting);
    await setting.runner.command({ command: "start", by });
    expect(await pause).toMatch(/TT-101 moves the wrong way: the reference rose by \d+ K/);
    await setting.runner.command({ command: "stop", by, reason: "seen enough" });
    expect(await setting.runner.done).toEqual({ outcome: "stopped" });
    expect(setting.runner.view().route.map(({ status }) => status)).toEqual(["not-measured", "not-measured"]);
    expect(setting.bench.switched.at(-1)).toBe(false);
  });

  it("pauses with a sentence when nothing can be recorded, takes the heat away, and goes on when it can [E2, E8]", async () => {
    const setting = prepared();
    await setting.runner.start();
    await setting.runner.command({ command: "start", by });
    setting.journal.failing = new Fault("records.read-only", "The disk is full.");
    await expect.poll(() => setting.bench.switched.at(-1)).toBe(false);
    expect(setting.runner.view().stage).toBe("paused");
    expect(setting.runner.view().sentence.happening).toBe("The disk is full.");
    const recorded = setting.journal.events.length;
    const refused = await setting.runner.command({ command: "pause", by });
    expect(refused).toMatchObject({ ok: false, fault: { code: "records.read-only" } });
    expect(setting.journal.events.length).toBe(recorded);
    setting.journal.failing = null;
    await setting.runner.command({ command: "stop", by });
    expect(await setting.runner.done).toEqual({ outcome: "stopped" });
  });

  it("skips and repeats with a reason, and refuses what cannot be done [E5]", async () => {
    const { runner, journal } = prepared();
    await runner.start();
    expect(await runner.command({ command: "resume", by })).toMatchObject({
      ok: false,
      fault: { code: "run.not-allowed" },
    });
    await runner.command({ command: "start", by });
    await runner.command({ command: "skip-point", by, reason: "well occupied" });
    await runner.command({ command: "repeat-point", by, reason: "well free again", pass: "as-found", point: 0 });
    expect(await runner.done).toEqual({ outcome: "completed" });
    const measured = journal.events.filter((event) => event.kind === "point-measured").map((event) => event.point);
    expect(measured).toEqual([0, 1]);
  });

  it("never commands a set point beyond a limit [E4]", async () => {
    const job = inventedJob({ item: { limits: { minimum: -50, maximum: 80 } } });
    const setting = prepared(job);
    await setting.runner.start();
    const pause = untilPaused(setting);
    await setting.runner.command({ command: "start", by });
    expect(await pause).toContain("100 °C is outside what item TT-101 may see (-50 °C to 80 °C)");
    expect(setting.bench.commanded).toEqual([50]);
    await setting.runner.command({ command: "stop", by });
    await setting.runner.done;
  });
});
