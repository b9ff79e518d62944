import { array, assert, double, property, shuffledSubarray } from "fast-check";
import { expect, it } from "vitest";
import { benchOf, firstOf, gives, platinum, typeOf } from "./invented-points.test-support.ts";
import { diagnoseBench } from "#diagnosis";

const seed = 20_261_125;
const typeK = typeOf("K");
const errors = array(double({ min: -12, max: 12, noNaN: true }), { minLength: 4, maxLength: 4 });
const points = [40, 130, 220, 310];

const bench = (order: readonly number[], own: readonly number[], kinds = [typeK]) => ({
  points: order.map((index) => points[index]!),
  items: kinds.map((sensor, which) => ({
    tag: `TT-${which}`,
    sensor,
    signal: (t: number) => gives(sensor, t + own[points.indexOf(t)]! / (which + 1)),
  })),
});

it(`probabilities add up to 1, and each is one (seed ${seed}) [D1]`, () => {
  assert(
    property(errors, (own) => {
      const { healthy, suspicions } = firstOf(bench([0, 1, 2, 3], own));
      const sum = suspicions.reduce((total, { probability }) => total + probability, healthy);
      expect(sum).toBeLessThanOrEqual(1 + 1e-9);
      expect(suspicions.length === 0 || sum > 0.7).toBe(true);
    }),
    { seed, numRuns: 60 },
  );
});

it(`the order of the points does not matter, nor that of the items, and the answer is always the same (seed ${seed}) [D15]`, () => {
  const order = shuffledSubarray([0, 1, 2, 3], { minLength: 4, maxLength: 4 });
  assert(
    property(errors, order, (own, shuffled) => {
      const plain = firstOf(bench([0, 1, 2, 3], own));
      const other = firstOf(bench(shuffled, own));
      expect(other.healthy).toBeCloseTo(plain.healthy, 6);
      expect(other.verdict).toBe(plain.verdict);
      expect(firstOf(bench([0, 1, 2, 3], own))).toEqual(plain);
      const pair = bench([0, 1, 2, 3], own, [typeK, typeOf("J")]);
      const turned = { ...pair, items: pair.items.toReversed() };
      const [first] = diagnoseBench(benchOf(pair), "as-found");
      const [, second] = diagnoseBench(benchOf(turned), "as-found");
      expect(second!.healthy).toBeCloseTo(first!.healthy, 6);
    }),
    { seed, numRuns: 25 },
  );
});

it("ten points take less than 10 ms, once the program is warm [D16]", () => {
  const temperatures = [0, 30, 60, 90, 120, 150, 180, 210, 240, 270];
  const evidence = benchOf({
    points: temperatures,
    items: [{ sensor: platinum(), signal: (t) => gives(platinum(), t) + 1.4 }],
    referenceSensor: platinum(),
    referenceSignal: (t) => gives(platinum(), t),
  });
  const times = Array.from({ length: 25 }, () => {
    const start = performance.now();
    diagnoseBench(evidence, "as-found");
    return performance.now() - start;
  });
  const typical = times.slice(5).toSorted((a, b) => a - b)[0]!;
  process.stdout.write(`ten points: ${typical.toFixed(1)} ms\n`);
  expect(typical).toBeLessThan(10);
});
