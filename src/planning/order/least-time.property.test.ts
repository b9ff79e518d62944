import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { context, inventedJob } from "../invented-job.test-support.ts";
import { paceOf } from "../pace/pace.ts";
import { costOf, leastTimeOrder, type OrderCosts } from "./least-time.ts";
import { orderCosts } from "./order-costs.ts";
import { keepsRules, orderIsAllowed, orderRules, type OrderRules } from "./order-rules.ts";

const seed = 20_261_125;
const free: OrderRules = { written: false, direction: null, first: new Set(), last: null, approach: [], words: [] };

/** Any fees at all: the search may not lean on what sources do. */
const anyCosts = (count: number) =>
  fc
    .array(fc.integer({ min: 1, max: 1000 }), { minLength: (count + 2) * count, maxLength: (count + 2) * count })
    .map((fees): OrderCosts => ({
      temperatures: Array.from({ length: count }, (_, index) => index * 10),
      between: (from, to) => fees[(from ?? count) * count + to]!,
      leaving: (last) => fees[(count + 1) * count + last]!,
    }));

const permutations = (places: readonly number[]): number[][] =>
  places.length <= 1
    ? [[...places]]
    : places.flatMap((place, index) => permutations(places.toSpliced(index, 1)).map((rest) => [place, ...rest]));

describe(`the quickest order (seed ${seed})`, () => {
  it("is as quick as the best of all orders that are tried one by one [P7]", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 6 }).chain(anyCosts), (costs) => {
        const best = leastTimeOrder(costs, free);
        const all = permutations(costs.temperatures.map((_, index) => index)).map((points) => costOf(costs, points));
        expect(best.seconds).toBe(Math.min(...all));
        expect(best.exact).toBe(true);
      }),
      { seed, numRuns: 150 },
    );
  });

  it("never takes longer than the written one, many points included [P8]", () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 16 }).chain(anyCosts), (costs) => {
        const written = costs.temperatures.map((_, index) => index);
        const best = leastTimeOrder(costs, free);
        expect(best.seconds).toBeLessThanOrEqual(costOf(costs, written));
        expect([...best.points].sort((a, b) => a - b)).toEqual(written);
        expect(best.exact).toBe(written.length <= 11);
      }),
      { seed, numRuns: 40 },
    );
  });

  it("of real temperatures keeps every rule that binds it [P6]", () => {
    const temperature = fc.integer({ min: -5, max: 60 }).map((ten) => ten * 10);
    const wanted = fc.record({
      points: fc
        .array(temperature, { minLength: 2, maxLength: 7 })
        .filter((list) => list.every((t, i) => t !== list[i - 1])),
      kind: fc.constantFrom("rising" as const, "falling" as const, "as-written" as const, "least-time" as const),
      first: fc.option(fc.nat(6), { nil: null }),
    });
    fc.assert(
      fc.property(wanted, ({ points, kind, first }) => {
        const asked = first === null ? undefined : points[first];
        const job = inventedJob({ points, order: asked === undefined ? { kind } : { kind, first: asked } });
        const costs = orderCosts({
          job,
          pace: paceOf(job.kit.source),
          target: (item, at) => context.target(job, item, at),
        });
        const rules = orderRules(job);
        const best = leastTimeOrder(costs, rules);
        const written = points.map((_, index) => index);
        const changed = best.points.some((point, index) => point !== index);
        expect(changed && (kind === "as-written" || !orderIsAllowed(job, best.points))).toBe(false);
        // Where the written order itself breaks a rule, keeping the rule may cost time.
        const dearer = best.seconds > costOf(costs, written) + 1e-9;
        expect(dearer && keepsRules(rules, points, written)).toBe(false);
      }),
      { seed, numRuns: 150 },
    );
  });
});
