import { expect, it } from "vitest";
import { halfWidth, rangeOf, sampledRanges } from "./sample.ts";

it("draws the same ranges for the same seed, all of them for a share of 1 and none for 0", () => {
  const draw = (share: number, seed = 1): readonly string[] => sampledRanges("src/a.ts", 240, share, seed);
  expect(draw(1)).toHaveLength(20);
  expect(draw(1)[1]).toBe("src/a.ts:13-24");
  expect(draw(0)).toEqual([]);
  expect(draw(0.4)).toEqual(draw(0.4));
  expect(draw(0.4)).not.toEqual(draw(0.4, 2));
  // Of two hundred files' 4000 ranges, a share of 0.4 is 1600 ± 31.
  const drawn = Array.from({ length: 200 }, (_, file) => sampledRanges(`src/${file}.ts`, 240, 0.4, 1).length);
  expect(Math.abs(drawn.reduce((sum, count) => sum + count, 0) - 1600)).toBeLessThan(124);
  expect([1, 12, 13, 24, 25].map(rangeOf)).toEqual([0, 0, 1, 1, 2]);
});

it("knows how far the share of a drawn part may lie from that of the whole", () => {
  // Clusters of one mutant: the binomial's 1.96·√(p(1 − p)/(n − 1)), here p = 0.9, n = 100.
  const single = Array.from({ length: 100 }, (_, index) => ({ all: 1, noticed: index < 90 ? 1 : 0 }));
  expect(halfWidth(single, 0)).toBeCloseTo(1.96 * Math.sqrt(0.09 / 99), 12);
  // Everything was drawn: nothing is left to doubt. Clusters alike among themselves say more than their number.
  expect(halfWidth(single, 1)).toBe(0);
  expect(
    halfWidth(
      [
        { all: 10, noticed: 9 },
        { all: 10, noticed: 9 },
      ],
      0,
    ),
  ).toBe(0);
});
