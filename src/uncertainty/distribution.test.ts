import { expect, it } from "vitest";
import { standardUncertaintyOfDigit, standardUncertaintyOfLimits } from "./distribution.ts";

it("gives the divisors of JCGM 100:2008, 4.3.7 and 4.3.9, and of JCGM 101:2008, 6.4.6", () => {
  expect(standardUncertaintyOfLimits(3, "rectangular")).toBeCloseTo(1.7321, 4);
  expect(standardUncertaintyOfLimits(3, "triangular")).toBeCloseTo(1.2247, 4);
  expect(standardUncertaintyOfLimits(3, "u-shaped")).toBeCloseTo(2.1213, 4);
});

it("gives 0.29 of the digit of a display (JCGM 100:2008, F.2.2.1)", () => {
  expect(standardUncertaintyOfDigit(1)).toBeCloseTo(0.29, 2);
  expect(standardUncertaintyOfDigit(0.1)).toBeCloseTo(0.0288675, 7);
});
