import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { fitLevels } from "./fit-levels.ts";
import { scatterOf } from "./scatter.ts";
import type { Visit } from "./visit.ts";

const seed = 4611;
const size = fc.double({ min: -1, max: 1, noNaN: true });

const visits = (levels: readonly number[], order: readonly number[], constant: number, drift: number): Visit[] =>
  order.map((place, index) => ({
    place: `p${place}`,
    time: index * 600,
    value: levels[place]! + constant + drift * index * 600,
    u: 0.001,
    dof: 20,
    moved: 0,
  }));

/** There and back over so many places. */
const thereAndBack = (count: number): number[] => [
  ...Array.from({ length: count }, (_, index) => index),
  ...Array.from({ length: count - 1 }, (_, index) => count - 2 - index),
];

describe(`levels of places (seed ${seed})`, () => {
  it("[K2] without noise come back exactly, whatever the constant and the drift", () => {
    fc.assert(
      fc.property(fc.array(size, { minLength: 2, maxLength: 6 }), size, size, (levels, constant, drift) => {
        const fit = unwrap(fitLevels("test", visits(levels, thereAndBack(levels.length), constant, drift / 3600)));
        for (const [index, difference] of fit.differences.entries())
          expect(difference).toBeCloseTo(levels[index + 1]! - levels[0]!, 8);
        expect(fit.drift * 3600).toBeCloseTo(drift, 6);
        expect(scatterOf([fit]).factor).toBe(1);
      }),
      { seed, numRuns: 200 },
    );
  });

  it("[K2] are the same counted from another place, but for the difference of the two", () => {
    fc.assert(
      fc.property(fc.array(size, { minLength: 3, maxLength: 5 }), size, (levels, drift) => {
        const made = visits(levels, thereAndBack(levels.length), 0, drift / 3600);
        const fromFirst = unwrap(fitLevels("test", made));
        const fromSecond = unwrap(fitLevels("test", made, "p1"));
        const shift = fromFirst.differences[0]!;
        expect(fromSecond.differences[fromSecond.places.indexOf("p2")]).toBeCloseTo(
          fromFirst.differences[1]! - shift,
          8,
        );
      }),
      { seed, numRuns: 100 },
    );
  });

  it("[K4] scatter beyond the stays' own widens what is stated, by the root of χ² over its degrees of freedom", () => {
    // Residuals of ±1 mK on u = 0.5 mK: two levels are read twice each, one degree of freedom is left.
    const made = visits([0, 0.1], [0, 1, 0, 1, 0], 0, 0).map((visit, index) => ({
      ...visit,
      u: 0.0005,
      value: visit.value + (index % 4 === 0 ? 0.001 : index % 4 === 2 ? -0.001 : 0),
    }));
    const fit = unwrap(fitLevels("test", made));
    expect(fit.freedom).toBe(2);
    const scatter = scatterOf([fit]);
    expect(scatter.factor).toBeCloseTo(Math.sqrt(fit.chiSquare / 2), 12);
    expect(scatter.factor).toBeGreaterThan(1.5);
    expect(scatter.dof).toBe(2);
  });
});
