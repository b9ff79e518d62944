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

  it("of a constant is nothing", () => {
    expect(movement(series(10, () => 3))).toBe(0);
  });
});
