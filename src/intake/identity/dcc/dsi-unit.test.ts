import { describe, expect, test } from "vitest";
import { unitMeant } from "./dsi-unit.ts";

/** Notation of D-SI (SI_Format 2.2.1, Physikalisch-Technische Bundesanstalt): a backslash before each word. */
describe("units of D-SI", () => {
  test.each([
    ["\\degreecelsius", { kind: "celsius" }],
    ["\\celsius", { kind: "celsius" }],
    ["\\degreeCelsius", { kind: "celsius" }],
    ["\\kelvin", { kind: "kelvin", power: 0 }],
    ["\\milli\\kelvin", { kind: "kelvin", power: -3 }],
    ["\\ohm", { kind: "ohm", power: 0 }],
    ["\\kilo\\ohm", { kind: "ohm", power: 3 }],
    ["\\kilogram\\metre\\tothe{2}\\ampere\\tothe{-2}\\second\\tothe{-3}", { kind: "ohm", power: 0 }],
    ["\\volt\\per\\ampere", { kind: "ohm", power: 0 }],
    ["\\volt", { kind: "millivolt", power: 3 }],
    ["\\milli\\volt", { kind: "millivolt", power: 0 }],
    ["\\micro\\volt", { kind: "millivolt", power: -3 }],
    ["\\milli\\ampere", { kind: "milliampere", power: 0 }],
    ["\\milli\\metre", { kind: "metre", power: -3 }],
    ["\\one", { kind: "one", power: 0 }],
    ["\\percent", { kind: "one", power: -2 }],
    ["\\kelvin\\tothe{-2}", { kind: "kelvin-power", exponent: -2, power: 0 }],
    ["\\degreecelsius\\tothe{-1}", { kind: "kelvin-power", exponent: -1, power: 0 }],
  ])("%s", (text, meant) => {
    expect(unitMeant(text)).toEqual(meant);
  });

  test.each([
    ["°C"],
    ["\\furlong"],
    [""],
    ["\\kilo"],
    ["\\kelvin\\per"],
    ["\\tothe{2}"],
    ["\\pascal"],
    ["\\metre\\second"],
    ["\\kelvin".repeat(60)],
  ])("%s is not guessed", (text) => {
    expect(unitMeant(text)).toBeNull();
  });
});
