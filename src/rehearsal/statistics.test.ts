import { expect, it } from "vitest";
import { medianOf, quantileOf, shareOf } from "./statistics.ts";

it("takes quantiles linearly between order statistics", () => {
  expect(medianOf([3, 1, 2])).toBe(2);
  expect(medianOf([4, 1, 2, 3])).toBe(2.5);
  expect(quantileOf([0, 10], 0.9)).toBeCloseTo(9, 12);
  expect(quantileOf([7], 0.95)).toBe(7);
});

it("has nothing to say of nothing", () => {
  expect(medianOf([])).toBeNull();
  expect(shareOf(0, 0)).toBeNull();
  expect(shareOf(1, 4)).toBe(0.25);
});
