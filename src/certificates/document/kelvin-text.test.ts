import { expect, test } from "vitest";
import { kelvinText } from "./kelvin-text.ts";

test.each([
  ["0", "273.15"],
  ["0.01", "273.16"],
  ["33.098", "306.248"],
  ["-20.013", "253.137"],
  ["100.0", "373.15"],
  ["-273.15", "0.00"],
  ["-0.0001", "273.1499"],
  ["-300", "-26.85"],
])("%s °C is %s K", (celsius, kelvin) => {
  expect(kelvinText(celsius)).toBe(kelvin);
});

test("refuses what is not a plain decimal", () => {
  expect(() => kelvinText("1e3")).toThrow(RangeError);
  expect(() => kelvinText("−5")).toThrow(RangeError);
});
