import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { movement } from "./movement.ts";

const series = (count: number, of: (index: number) => number): Float64Array =>
  Float64Array.from({ length: count }, (_, index) => of(index));
const seed = 18;

describe(`movement of a series, seed ${seed} [C18]`, () => {
  it("is half of its range when there is no noise", () => {
    expect(movement(series(20, (index) => 0.01 * index))).toBeCloseTo(0.095, 12);
    expect(movement(series(2, (index) => index))).toBe(0.5);
    expect(movement(series(40, (index) => Math.sin((index / 39) * Math.PI * 2)))).toBeGreaterThan(0.95);
  });

  it("is little when there is nothing but noise, and right when there are both", () => {
    const generator = seededGenerator(seed);
    const mean = (of: () => number): number =>
      Array.from({ length: 400 }, of).reduce((sum, value) => sum + value, 0) / 400;
    expect(mean(() => movement(series(20, () => generator.normal())))).toBeLessThan(0.8);
    expect(mean(() => movement(series(20, (index) => 0.5 * index + 0.3 * generator.normal())))).toBeCloseTo(4.9, 0);
    expect(mean(() => movement(series(20, (index) => 0.5 * index + 0.3 * generator.normal())))).toBeGreaterThan(4.5);
  });

  it("of three values, worked by hand", () => {
    // 0, 1, 3: steps 1 and 2 about their mean of 1.5, so the noise is √(0.5/1/2) = 0.5; z(2.625/3.25) = 0.8694.
    expect(movement(Float64Array.of(0, 1, 3))).toBeCloseTo(Math.sqrt(1.5 ** 2 - (0.8694 * 0.5) ** 2), 3);
    expect(movement(Float64Array.of(3, 1, 0))).toBeCloseTo(Math.sqrt(1.5 ** 2 - (0.8694 * 0.5) ** 2), 3);
    // 0, 1, 0: noise of 1 explains the whole half range of 0.5.
    expect(movement(Float64Array.of(0, 1, 0))).toBe(0);
    // 5, 1, 2, 6: steps −4, 1, 4 about 1/3; noise √((169 + 4 + 121)/9/2/2); z(3.625/4.25) = 1.0490.
    const noise = Math.sqrt(294 / 9 / 2 / 2);
    expect(movement(Float64Array.of(5, 1, 2, 6))).toBeCloseTo(
      Math.sqrt(Math.max(0, 2.5 ** 2 - (1.049 * noise) ** 2)),
      3,
    );
  });

  it("of a constant is nothing", () => {
    expect(movement(series(10, () => 3))).toBe(0);
  });
});
