import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { reported, reportedUncertainty, roundedTo } from "./reported.ts";

const seed = 14;

describe("an expanded uncertainty, ILAC-P14:09/2020, 5.4", () => {
  // Worked figures; the rule for one digit is that of EA-4/02, 6.3 (from memory).
  it.each([
    [0.0531 * 2, "0.11"],
    [1.0963, "1.1"],
    [0.677, "0.68"],
    [1.2563, "1.3"],
    [0.1049, "0.10"],
    [0.105, "0.11"],
    [0.0996, "0.10"],
    [0.0994, "0.099"],
    [0.995, "1.0"],
    [9.96, "10"],
    [9.94, "9.9"],
    [99.6, "100"],
    [123, "120"],
    [1250, "1300"],
    [99_600, "100000"],
    [2, "2.0"],
    [0.1 + 0.2, "0.30"],
    [0.00012345, "0.00012"],
    [1e-7, "0.00000010"],
    [1.5e21, "1500000000000000000000"],
  ])("%d is reported as %s", (U, expected) => {
    expect(unwrap(reportedUncertainty(U)).U).toBe(expected);
  });

  it.each([
    [0.14, "0.2"],
    [0.16, "0.2"],
    [0.104, "0.1"],
    [0.106, "0.2"],
    [0.96, "1"],
    [0.2, "0.2"],
  ])("%d with one digit is %s, never more than 5 %% too small", (U, expected) => {
    expect(unwrap(reportedUncertainty(U, 1)).U).toBe(expected);
  });

  it.each([0, -1, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])("%d cannot be reported", (U) => {
    expect(reportedUncertainty(U)).toMatchObject({ ok: false, fault: { code: "uncertainty.invalid" } });
    expect(reported(1, U).ok).toBe(false);
  });
});

describe("a value with its uncertainty", () => {
  it.each([
    [150.2374, 0.11, "150.24", "0.11"],
    [-0.004, 0.11, "0.00", "0.11"],
    [-0, 0.11, "0.00", "0.11"],
    [-0.005, 0.11, "-0.01", "0.11"],
    [1.005, 0.11, "1.01", "0.11"],
    [0.125, 0.0996, "0.13", "0.10"],
    [1249, 120, "1250", "120"],
    [-4, 120, "0", "120"],
    [-1249, 1250, "-1200", "1300"],
    [99.96, 1, "100.0", "1.0"],
    [1e21, 1, "1000000000000000000000.0", "1.0"],
    [7, 0.000_02, "7.000000", "0.000020"],
  ])("%d ± %d is %s ± %s", (value, U, text, uncertainty) => {
    expect(unwrap(reported(value, U))).toMatchObject({ value: text, U: uncertainty });
  });

  it("that is not finite is not reported", () => {
    expect(reported(Number.NaN, 1).ok).toBe(false);
    expect(() => roundedTo(Number.POSITIVE_INFINITY, 1)).toThrow(RangeError);
    expect(() => roundedTo(1, 0.5)).toThrow(RangeError);
  });
});

describe(`properties of rounding, seed ${seed}`, () => {
  const value = fc.double({ min: -1e9, max: 1e9, noNaN: true });
  const U = fc.double({ min: 1e-9, max: 1e9, noNaN: true });

  it("value and U end at the same place, two digits of U, no exponent, no negative zero", () => {
    fc.assert(
      fc.property(value, U, (y, u) => {
        const text = unwrap(reported(y, u));
        for (const part of [text.value, text.U]) {
          expect(part).toMatch(/^-?\d+(\.\d+)?$/);
          expect((part.split(".")[1] ?? "").length).toBe(Math.max(text.places, 0));
          expect(part).not.toMatch(/^-0+(\.0+)?$/);
        }
        const digits = text.U.replace(".", "").replace(/^0+/, "");
        expect(text.places >= 0 ? digits.length : digits.length + text.places).toBe(2);
      }),
      { seed, numRuns: 500 },
    );
  });

  it("rounding moves the value by half a last place at most, and U down by 5 % at most", () => {
    fc.assert(
      fc.property(value, U, (y, u) => {
        const text = unwrap(reported(y, u));
        const place = 10 ** -text.places;
        expect(Math.abs(Number(text.value) - y)).toBeLessThanOrEqual(0.5 * place * (1 + 1e-9) + 1e-9 * Math.abs(y));
        expect(Number(text.U)).toBeGreaterThanOrEqual(0.95 * u * (1 - 1e-12));
        expect(Number(text.U)).toBeLessThanOrEqual(u + 0.5 * place * (1 + 1e-9));
      }),
      { seed, numRuns: 500 },
    );
  });

  it("rounding again changes nothing, and the sign only the sign", () => {
    fc.assert(
      fc.property(value, fc.integer({ min: -6, max: 9 }), (y, places) => {
        const once = roundedTo(y, places);
        expect(roundedTo(Number(once), places)).toBe(once);
        expect(roundedTo(-y, places).replace("-", "")).toBe(once.replace("-", ""));
      }),
      { seed, numRuns: 500 },
    );
  });

  it("holds from the smallest to the largest number", () => {
    for (const u of [5e-324, 1e-300, 1e300, Number.MAX_VALUE])
      expect(unwrap(reportedUncertainty(u)).U).toMatch(/[1-9]/);
  });
});
