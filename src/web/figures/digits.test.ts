import { expect, test } from "vitest";
import { chance, nominal, percent, placesFor, plain, signal, signed, typeset, typesetError } from "./digits.ts";

test.each([
  [null, 2],
  [0, 2],
  [0.123, 2],
  [0.0123, 3],
  [0.00123, 3],
  [1.23, 1],
  [12.3, 0],
  [230, 0],
])("an uncertainty of %s gives a meaning to %d places", (uncertainty, places) => {
  expect(placesFor(uncertainty)).toBe(places);
});

test("a sign is shown where a difference has one, and never for nothing", () => {
  expect(signed(0.314, 2)).toBe("+0.31");
  expect(signed(-0.314, 2)).toBe("−0.31");
  expect(signed(0.0004, 2)).toBe("0.00");
  expect(signed(-0.0004, 2)).toBe("0.00");
});

test("what is no number is a dash, not a word of the machine", () => {
  expect(plain(Number.NaN, 2)).toBe("–");
  expect(plain(Number.POSITIVE_INFINITY, 2)).toBe("–");
});

test("minus signs are true ones", () => {
  expect(nominal(-20)).toBe("−20");
  expect(typeset("-0.12")).toBe("−0.12");
  expect([typesetError("0.098"), typesetError("-0.098"), typesetError("0.00"), typesetError("12")]).toEqual([
    "+0.098",
    "−0.098",
    "0.00",
    "+12",
  ]);
});

test("small shares keep a digit", () => {
  expect(percent(0.004)).toBe("0.4 %");
  expect(percent(0.36)).toBe("36 %");
  expect(percent(0)).toBe("0 %");
  expect([percent(0.00001), percent(0.99999), percent(0.994), percent(1)]).toEqual([
    "< 0.1 %",
    "> 99.9 %",
    "99.4 %",
    "100 %",
  ]);
});

test("a probability is never nothing and never all", () => {
  expect([chance(0), chance(1), chance(0.5)]).toEqual(["< 0.1 %", "> 99.9 %", "50 %"]);
});

test("signals keep the digits that a readout gives", () => {
  expect(signal(25.49612)).toBe("25.4961");
  expect(signal(138.50551)).toBe("138.506");
});
