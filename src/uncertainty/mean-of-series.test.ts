import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { coverageFactor } from "./coverage-factor.ts";
import { meanOfSeries } from "./mean-of-series.ts";

const seed = 5;

/** First-order memory: each reading keeps `memory` of the deviation of the one before. */
const readings = (generator: { normal(): number }, count: number, memory: number): Float64Array => {
  const values = new Float64Array(count);
  let deviation = generator.normal() / Math.sqrt(1 - memory * memory);
  for (let index = 0; index < count; index += 1) {
    values[index] = deviation;
    deviation = memory * deviation + generator.normal();
  }
  return values;
};

describe("the mean of a series", () => {
  it("of readings that do not follow each other is s/√n [U8]", () => {
    const mean = unwrap(meanOfSeries([1, -1, -1, 1, 1, -1, -1, 1].map((value) => 20 + 0.01 * value)));
    expect(mean).toMatchObject({ readings: 8, effectiveReadings: 8, degreesOfFreedom: 7 });
    expect(mean.mean).toBeCloseTo(20, 12);
    expect(mean.standardUncertainty).toBeCloseTo((0.01 * Math.sqrt(8 / 7)) / Math.sqrt(8), 12);
  });

  // Chance of the ±U interval to hold the true mean; the goal is 95.45 %, a short series with long memory cannot reach it.
  it.each([
    [20, 0, 94.5],
    [20, 0.3, 93],
    [20, 0.6, 90],
    [40, 0.6, 93],
    [100, 0.8, 93],
    [100, 0.9, 92],
  ])(`covers for %d readings with memory %d at least %d %%, seed ${seed} [U8]`, (count, memory, least) => {
    const generator = seededGenerator(seed).fork(`${count} ${memory}`);
    let covered = 0;
    const runs = 600;
    for (let run = 0; run < runs; run += 1) {
      const mean = unwrap(meanOfSeries(readings(generator, count, memory)));
      if (Math.abs(mean.mean) <= coverageFactor(0.9545, mean.degreesOfFreedom) * mean.standardUncertainty) covered += 1;
    }
    expect((100 * covered) / runs).toBeGreaterThanOrEqual(least);
  });

  it("without memory is not made much wider than it is [U8]", () => {
    const generator = seededGenerator(seed).fork("width");
    const runs = 400;
    let ratio = 0;
    for (let run = 0; run < runs; run += 1)
      ratio += unwrap(meanOfSeries(readings(generator, 20, 0))).standardUncertainty * Math.sqrt(20);
    expect(ratio / runs).toBeGreaterThan(0.95);
    expect(ratio / runs).toBeLessThan(1.3);
  });

  it("knows fewer independent readings in a ramp than there are readings [U8]", () => {
    const ramp = unwrap(meanOfSeries(Array.from({ length: 20 }, (_, index) => 0.001 * index)));
    expect(ramp.effectiveReadings).toBeLessThan(4);
    expect(ramp.standardUncertainty).toBeGreaterThan(3 * (0.00592 / Math.sqrt(20)));
  });

  it("of readings that are all alike has no scatter, or that of the digit [U9]", () => {
    const alike = Array.from({ length: 12 }, () => 100.1);
    expect(unwrap(meanOfSeries(alike))).toMatchObject({
      standardUncertainty: 0,
      degreesOfFreedom: 11,
      effectiveReadings: 12,
    });
    expect(unwrap(meanOfSeries(alike, { resolution: 0.1 })).standardUncertainty).toBeCloseTo(0.1 / Math.sqrt(12), 15);
    expect(unwrap(meanOfSeries([0, 0, 0])).standardUncertainty).toBe(0);
  });

  it("of a display that jumps between two digits keeps the larger of scatter and digit [U9]", () => {
    const jumping = [0, 0.1, 0, 0, 0.1, 0, 0.1, 0, 0, 0.1];
    const free = unwrap(meanOfSeries(jumping)).standardUncertainty;
    expect(unwrap(meanOfSeries(jumping, { resolution: 0.1 })).standardUncertainty).toBe(
      Math.max(free, 0.1 / Math.sqrt(12)),
    );
    expect(unwrap(meanOfSeries(jumping, { resolution: 0.001 })).standardUncertainty).toBe(free);
  });

  it("needs two finite readings and a resolution that is one", () => {
    for (const values of [[], [1], [1, Number.NaN], [1, Number.POSITIVE_INFINITY], [1e200, -1e200]]) {
      expect(meanOfSeries(values)).toMatchObject({ ok: false, fault: { code: "uncertainty.invalid" } });
    }
    expect(meanOfSeries([1, 2], { resolution: -1 }).ok).toBe(false);
    expect(meanOfSeries([1, 2], { resolution: Number.NaN }).ok).toBe(false);
  });
});
