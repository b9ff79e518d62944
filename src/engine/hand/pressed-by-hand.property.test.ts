import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { evaluate, runEventSchema, type RunOpened } from "#calibration";
import { AnalyticBench, JumpingClock, MemoryJournal, openingOf } from "../analytic-bench.test-support.ts";
import { replay } from "../evolve.ts";
import type { RunCommand } from "../inputs.ts";
import { initialState } from "../open-run.ts";
import { createRunner } from "../runner.ts";
import { viewOf } from "../view.ts";
import { by, dialJob, everythingByHand, twoPoints } from "./by-hand.test-support.ts";

const enter = (channel: string, typed: string, ago = 0): RunCommand => ({
  command: "enter-reading",
  by,
  channel,
  typed,
  ...(ago > 0 ? { ago } : {}),
});

const commands = fc.oneof(
  {
    weight: 3,
    arbitrary: fc
      .constantFrom("50.2", "50.0", "49,8", "99.8", "502", "-50", "5e3", "1000.0")
      .map((typed) => enter("item-1", typed)),
  },
  {
    weight: 2,
    arbitrary: fc
      .constantFrom("119.397", "119.40", "138.506", "1193.97", "0")
      .map((typed) => enter("reference", typed)),
  },
  fc.constantFrom(10, 200, 299).map((ago) => enter("item-1", "50.2", ago)),
  fc.constantFrom<RunCommand>(
    { command: "confirm-set-point", by },
    { command: "confirm-set-point", by },
    { command: "confirm-reading", by },
    { command: "enough-readings", by },
    { command: "withdraw-reading", by, channel: "item-1", reason: "pressed" },
    { command: "withdraw-reading", by, channel: "reference", reason: "pressed", time: 12 },
    { command: "pause", by },
    { command: "resume", by },
    { command: "skip-point", by, reason: "pressed" },
    { command: "repeat-point", by, reason: "pressed" },
    { command: "break", by, hold: true, seconds: 60 },
    { command: "add-point", by, reason: "pressed", temperature: 75 },
  ),
);

describe("whatever a person types and presses at a run by hand", () => {
  it.each([
    ["a dial beside a wired reference", dialJob(twoPoints)],
    ["everything by hand", everythingByHand(twoPoints)],
  ])(
    "the log stays valid, the state is the log, and what was typed is never lost: %s [E3, E61, E62, E63, E70]",
    { timeout: 90_000 },
    async (_, job) => {
      await fc.assert(
        fc.asyncProperty(
          fc.array(fc.tuple(commands, fc.integer({ min: 0, max: 250 })), { minLength: 4, maxLength: 14 }),
          async (presses) => {
            const clock = new JumpingClock();
            const bench = new AnalyticBench(job, clock);
            const journal = new MemoryJournal([openingOf(job)]);
            const runner = createRunner({ bench, clock, journal, log: journal.events });
            await runner.start();
            await runner.command({ command: "start", by });
            let taken = 0;
            for (const [command, pause] of presses) {
              const answer = await runner.command(command);
              const entered = command.command === "enter-reading" || command.command === "confirm-reading";
              if (answer.ok && entered) taken += 1;
              const wait = clock.now() + pause;
              while (clock.now() < wait && runner.view().stage !== "ended")
                await new Promise((resolve) => setImmediate(resolve));
            }
            await runner.command({ command: "stop", by, reason: "end of the property" });
            await runner.done;
            const log = journal.events;
            const kept = log.filter(
              (event) =>
                event.kind === "reading-questioned" || (event.kind === "readings-taken" && event.by !== undefined),
            );
            expect(kept).toHaveLength(taken);
            expect(viewOf(replay(initialState(log[0] as RunOpened), log.slice(1)))).toEqual(runner.view());
            log.forEach((event, index) => {
              expect(runEventSchema.safeParse(event).success).toBe(true);
              expect(event.at).toBeGreaterThanOrEqual(log[Math.max(0, index - 1)]!.at);
            });
            expect(() => evaluate(log)).not.toThrow();
          },
        ),
        { seed: 20261125, numRuns: 12 },
      );
    },
  );
});
