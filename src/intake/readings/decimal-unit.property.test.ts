import * as fc from "fast-check";
import { expect, it, test } from "vitest";
import { decimalUnit, movedPoint } from "./decimal-unit.ts";

const seed = 2311;

test.each([
  ["0.0041005", 3, "4.1005"],
  ["-0.00410", 3, "-4.10"],
  ["1.25", 3, "1250"],
  ["100", -3, "0.100"],
  ["+4100.5", -3, "+4.1005"],
  ["5", -3, "0.005"],
  ["1.5e-3", 3, "1.5e0"],
  [".5", 3, "500"],
  ["100.00", 0, "100.00"],
])("%s moved by %i places is %s", (digits, places, moved) => {
  expect(movedPoint(digits, places)).toBe(moved);
});

test.each([
  ["V", { unit: "mV", places: 3 }],
  ["µV", { unit: "mV", places: -3 }],
  ["kΩ", { unit: "Ω", places: 3 }],
  [" kOhm ", { unit: "Ω", places: 3 }],
  ["A", { unit: "mA", places: 3 }],
  ["mV", { unit: "mV", places: 0 }],
  ["°C", { unit: "°C", places: 0 }],
  ["MV", { unit: "mV", places: 0 }],
  ["MA", { unit: "mA", places: 0 }],
  ["°F", undefined],
  ["bar", undefined],
])("%j is understood as %j", (text, meant) => {
  expect(decimalUnit(text)).toEqual(meant);
});

it(`moves the point exactly: the same digits, there and back (seed ${seed})`, () => {
  fc.assert(
    fc.property(
      fc.tuple(fc.constantFrom("", "-", "+"), fc.bigInt({ min: 0n, max: 10n ** 12n }), fc.nat({ max: 8 })),
      fc.constantFrom(-3, 3),
      ([sign, whole, length], places) => {
        const text = whole.toString().padStart(length + 1, "0");
        const digits = `${sign}${text.slice(0, text.length - length)}${length === 0 ? "" : `.${text.slice(-length)}`}`;
        const moved = movedPoint(digits, places);
        expect(Number(moved)).toBe(Number(`${digits}e${places}`));
        expect(Number(movedPoint(moved, -places))).toBe(Number(digits));
        const kept = (written: string) => written.replaceAll(/[^\d]/g, "").replace(/^0+/, "");
        // Zeros that were not read are added only where the point moves beyond the last digit.
        expect(kept(moved).startsWith(kept(digits))).toBe(true);
      },
    ),
    { seed },
  );
});
