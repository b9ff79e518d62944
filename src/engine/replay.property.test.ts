import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { runEventSchema, type RunEvent, type RunOpened } from "#calibration";
import { AnalyticBench, inventedJob, JumpingClock, MemoryJournal, openingOf } from "./analytic-bench.test-support.ts";
import { evolve, replay } from "./evolve.ts";
import type { RunCommand } from "./inputs.ts";
import { initialState } from "./open-run.ts";
import { limitsCrossed } from "./readiness.ts";
import { createRunner } from "./runner.ts";
import { noVolatile } from "./state.ts";
import { viewOf } from "./view.ts";

const by = "Noor Castellan";

const fullRun = async (log: readonly RunEvent[], job = inventedJob()) => {
  const clock = new JumpingClock(log.at(-1)!.at);
  const bench = new AnalyticBench(job, clock);
  const journal = new MemoryJournal(log);
  const runner = createRunner({ bench, clock, journal, log });
  await runner.start();
  const { commands } = runner.view();
  if (commands.includes("start")) await runner.command({ command: "start", by });
  else if (commands.includes("resume")) await runner.command({ command: "resume", by });
  await runner.done;
  return { journal, bench, runner };
};

describe("a run is its log", () => {
  it("every prefix of a log leads to a run that completes, with nothing acknowledged lost [E3]", async () => {
    const { journal } = await fullRun([openingOf(inventedJob())]);
    const whole = journal.events;
    const cuts = whole
      .map((_, index) => index + 1)
      .filter((cut) => cut % 16 === 0 || whole[cut - 1]!.kind !== "readings-taken");
    for (const cut of cuts.slice(0, -1)) {
      const kept = whole.slice(0, cut);
      const again = await fullRun(kept);
      expect(again.journal.events.slice(0, cut)).toEqual(kept);
      expect(again.journal.events.at(-1)).toMatchObject({ kind: "run-ended", outcome: "completed" });
      const measured = again.journal.events
        .filter((event) => event.kind === "point-measured")
        .map((event) => event.point);
      expect(measured).toEqual([0, 1]);
      expect(again.journal.events.map((event) => event.n)).toEqual(again.journal.events.map((_, index) => index));
    }
  });

  it("folding a log line by line, or from any line on, gives the state of the runner [E3]", async () => {
    const { journal, runner } = await fullRun([openingOf(inventedJob())]);
    const start = initialState(journal.events[0] as RunOpened);
    const whole = replay(start, journal.events.slice(1));
    expect(viewOf(whole)).toEqual(runner.view());
    fc.assert(
      fc.property(fc.integer({ min: 1, max: journal.events.length - 1 }), (cut) => {
        const halves = journal.events.slice(cut).reduce(evolve, replay(start, journal.events.slice(1, cut)));
        expect({ ...halves, converter: null, volatile: noVolatile }).toEqual({ ...whole, converter: null });
      }),
      { seed: 20261125, numRuns: 30 },
    );
  });
});

describe("whatever a person presses", () => {
  const commands = fc.oneof(
    fc.constantFrom<RunCommand>(
      { command: "start", by },
      { command: "pause", by },
      { command: "resume", by },
      { command: "skip-point", by, reason: "pressed" },
      { command: "repeat-point", by, reason: "pressed" },
      { command: "repeat-point", by, reason: "pressed", pass: "as-found", point: 0 },
      { command: "confirm-adjustment", by },
      { command: "add-note", by, text: "pressed" },
      { command: "add-point", by, reason: "pressed", temperature: 75 },
      { command: "add-point", by, reason: "pressed", temperature: 230 },
      { command: "add-point", by, reason: "pressed", temperature: 60, direction: "falling", where: "next" },
      { command: "swap-points", by, reason: "pressed", point: 1, with: 3 },
      { command: "break", by, hold: true, seconds: 300 },
      { command: "break", by, hold: false },
      { command: "skip-check", by, reason: "pressed" },
      { command: "confirm-check", by },
      { command: "record-check", by, value: 1 },
      {
        command: "replace-kit",
        by,
        reason: "pressed",
        earlier: "flag",
        reference: { ...inventedJob().kit.reference, serial: "R-2" },
      },
    ),
  );

  it("the log stays valid, no limit is crossed, and the source is off at the end [E3, E4, E5, E6]", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(commands, fc.integer({ min: 0, max: 400 })), { maxLength: 12 }),
        async (presses) => {
          const job = inventedJob({
            procedure: {
              points: [{ temperature: 50 }, { temperature: 190 }, { temperature: -45 }, { temperature: 100 }],
              closingCheck: { kind: "ice-point", limit: 0.05 },
            },
          });
          const clock = new JumpingClock();
          const bench = new AnalyticBench(job, clock);
          const journal = new MemoryJournal([openingOf(job)]);
          const runner = createRunner({ bench, clock, journal, log: journal.events });
          await runner.start();
          // Most runs have begun when something is pressed.
          if (presses.length % 3 !== 0) await runner.command({ command: "start", by });
          for (const [command, pause] of presses) {
            await runner.command(command);
            const wait = clock.now() + pause;
            while (clock.now() < wait && runner.view().stage !== "ended")
              await new Promise((resolve) => setImmediate(resolve));
          }
          await runner.command({ command: "stop", by, reason: "end of the property" });
          await runner.done;
          for (const temperature of bench.commanded) expect(limitsCrossed(job, temperature)).toEqual([]);
          expect(bench.switched.at(-1) ?? false).toBe(false);
          // What the log says is all that the run knows.
          const again = viewOf(replay(initialState(journal.events[0] as RunOpened), journal.events.slice(1)));
          expect(again).toEqual(runner.view());
          journal.events.forEach((event, index) => {
            expect(runEventSchema.safeParse(event).success).toBe(true);
            expect(event.n).toBe(index);
            expect(event.at).toBeGreaterThanOrEqual(journal.events[Math.max(0, index - 1)]!.at);
          });
        },
      ),
      { seed: 20261125, numRuns: 60 },
    );
  });
});
