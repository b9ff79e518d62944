import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { AnalyticBench, inventedJob, JumpingClock, MemoryJournal, openingOf } from "./analytic-bench.test-support.ts";
import { createRunner } from "./runner.ts";

const seed = 20261125;

/** A whole run on a bench whose answers come in an order of the test's own, round after round. */
const runWith = async (order: readonly number[]) => {
  const job = inventedJob({ procedure: { points: [{ temperature: 60 }] } });
  const clock = new JumpingClock();
  const bench = new AnalyticBench(job, clock);
  const read = bench.read.bind(bench);
  let round = 0;
  bench.read = async (channels) => {
    const answers = [...(await read(channels))];
    round += 1;
    return answers
      .map((answer, index) => ({ answer, place: order[(round * 7 + index * 3) % order.length]! }))
      .toSorted((a, b) => a.place - b.place)
      .map(({ answer }) => answer);
  };
  const journal = new MemoryJournal([openingOf(job)]);
  const runner = createRunner({ bench, clock, journal, log: journal.events });
  await runner.start();
  await runner.command({ command: "start", by: "Noor Castellan" });
  await runner.done;
  return journal.events;
};

describe(`the order in which channels answer (seed ${seed})`, () => {
  it("changes nothing: the same log, the same decision [E3, S5]", async () => {
    const usual = await runWith([0]);
    expect(usual.some(({ kind }) => kind === "point-settled")).toBe(true);
    await fc.assert(
      fc.asyncProperty(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 5, maxLength: 11 }), async (order) => {
        expect(await runWith(order)).toEqual(usual);
      }),
      { seed, numRuns: 6 },
    );
  });
});
