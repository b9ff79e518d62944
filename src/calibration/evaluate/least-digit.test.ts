import { describe, expect, it } from "vitest";
import { leastDigit } from "./least-digit.ts";

describe("the digit that a number is written in", () => {
  it.each<[string[], number]>([
    [["+1.38505E+02"], 0.001],
    [["109.7", "109.73"], 0.01],
    [["100"], 1],
    [["4.096", "4.1"], 0.001],
    [[" -0.5\n"], 0.1],
    [["1e-7"], 1e-7],
    [["2.5E3"], 100],
    [["", "OVER", "."], 0],
    [[], 0],
    [["OVER", "12.25"], 0.01],
  ])("%j: %d", (texts, digit) => {
    expect(leastDigit(texts)).toBeCloseTo(digit, 12);
  });
});
