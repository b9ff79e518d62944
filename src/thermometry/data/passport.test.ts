import { describe, expect, it } from "vitest";
import platinum from "./iec-60751.json" with { type: "json" };
import scale from "./its-90.json" with { type: "json" };
import levels from "./ne-43.json" with { type: "json" };
import thermistor from "./thermistor.json" with { type: "json" };
import thermocouples from "./thermocouples.json" with { type: "json" };
import { recentred } from "../exact-decimal.ts";
import { thermocoupleTypes } from "../sensor.ts";
import { polynomialSlope, polynomialValue } from "#numerics";

interface Piece {
  readonly lower: string;
  readonly upper: string;
  readonly coefficients: readonly string[];
  readonly exponential?: { readonly amplitude: string; readonly rate: string; readonly centre: string };
}
const files = { platinum, scale, levels, thermistor, thermocouples };

/** Every text in a file that is meant as a number, with its path. */
const numbersIn = (value: unknown, path: string): [string, string][] => {
  if (typeof value === "string") return /^[+-]?[\d.]/.test(value) ? [[path, value]] : [];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => numbersIn(inner, `${path}.${key}`));
};

const emf = (piece: Piece, t: number): number => {
  const { amplitude = "0", rate = "0", centre = "0" } = piece.exponential ?? {};
  return (
    polynomialValue(piece.coefficients.map(Number), t) +
    Number(amplitude) * Math.exp(Number(rate) * (t - Number(centre)) ** 2)
  );
};

describe("constants", () => {
  it.each(Object.entries(files))("%s has a passport: title, source, how obtained, units", (_, file) => {
    const passport = file.passport as Readonly<Record<string, unknown>>;
    for (const key of ["title", "source", "obtained"]) expect(String(passport[key] ?? "").length).toBeGreaterThan(10);
    expect(Object.values(passport["unit"] as object).length).toBeGreaterThan(0);
  });

  it.each(Object.entries(files))("%s holds only finite numbers and no sentinel", (name, file) => {
    const numbers = numbersIn({ ...file, passport: undefined }, name).filter(
      ([path]) => !/\.(clause|form|source|note|legs|confidence)$/.test(path),
    );
    expect(numbers.length).toBeGreaterThan(1);
    const sentinels = new Set(["-1", "999", "9999", "-999", "-9999"]);
    const suspect = numbers.filter(([, text]) => !Number.isFinite(Number(text)) || sentinels.has(text));
    expect(suspect).toEqual([]);
  });
});

describe("thermocouple functions", () => {
  it("are there for every type, each with its source and confidence", () => {
    expect(Object.keys(thermocouples.types).sort()).toEqual([...thermocoupleTypes].sort());
    for (const entry of Object.values(thermocouples.types)) {
      expect(entry.source.length).toBeGreaterThan(10);
      expect(entry.confidence.length).toBeGreaterThan(10);
    }
  });

  it.each(Object.entries(thermocouples.types))(
    "type %s: pieces in order, joined, and meeting within 0.2 nV and 10 µK",
    (type, entry) => {
      const pieces = entry.pieces as readonly Piece[];
      for (const [index, piece] of pieces.entries()) {
        expect(Number(piece.lower)).toBeLessThan(Number(piece.upper));
        expect(piece.coefficients.length).toBeGreaterThan(3);
        const next = pieces[index + 1];
        if (next === undefined) continue;
        expect(Number(next.lower)).toBe(Number(piece.upper));
        const seam = Number(next.lower);
        const jump = Math.abs(emf(next, seam) - emf(piece, seam));
        const slope = polynomialSlope(next.coefficients.map(Number), seam);
        // J at 760 °C: 75 pV = 1.2 µK; C at 630.615 °C: 141 pV = 7.2 µK; all others below 0.4 µK.
        expect(jump).toBeLessThan(2e-7);
        expect(jump / Math.abs(slope)).toBeLessThan(type === "C" ? 1e-5 : 1.5e-6);
      }
    },
  );
});

describe("ITS-90", () => {
  it("has thirteen, ten coefficients and eleven subranges in the order of the text", () => {
    expect([scale.low.coefficients.length, scale.high.coefficients.length]).toEqual([13, 10]);
    expect(scale.subranges.map((entry) => entry.subrange)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
    for (const entry of scale.subranges) {
      expect(Number(entry.lower_K)).toBeLessThan(Number(entry.upper_K));
      expect(entry.clause).toMatch(/^3\.3\.[123](\.\d)?$/);
      expect(entry.fixedPoints).toContain("H2O");
      expect(entry.coefficients[0]).toBe("a");
    }
  });

  it("has reference functions that both give 1 at the triple point of water within 1e-8", () => {
    expect(Math.abs(Math.exp(polynomialValue(scale.low.coefficients.map(Number), 1)) - 1)).toBeLessThan(1.1e-8);
    expect(Math.abs(polynomialValue(scale.high.coefficients.map(Number), (273.16 - 754.15) / 481) - 1)).toBeLessThan(
      1e-8,
    );
  });
});

describe("other limits", () => {
  it("are in order", () => {
    expect(Number(platinum.lower)).toBeLessThan(Number(platinum.upper));
    const order = [
      levels.failure.atOrBelow,
      levels.measuring.lower,
      ...levels.span,
      levels.measuring.upper,
      levels.failure.atOrAbove,
    ].map(Number);
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(Number(thermistor.lower)).toBeLessThan(Number(thermistor.upper));
    expect(Number(thermistor.smallestResistance)).toBeLessThan(Number(thermistor.largestResistance));
  });
});

describe("re-expansion of a polynomial", () => {
  it("is exact: (1 + t)³ about 2 with width 10 is (3 + 10u)³", () => {
    expect([...recentred(["1", "3", "3", "1"], "2", "10")]).toEqual([27, 270, 900, 1000]);
    expect([...recentred(["0.1", "-2.5e-1", ".5E+0"], "-0.5", "0.25")]).toEqual([0.35, -0.1875, 0.03125]);
    expect([...recentred(["+1e2", "-3"], "0", "1")]).toEqual([100, -3]);
  });

  it("refuses what is not a decimal number", () => {
    for (const text of ["", "NaN", "1e", "0x10", ".", "1,5"])
      expect(() => recentred([text], "0", "1")).toThrow(RangeError);
  });
});
