import { expect, test } from "vitest";
import { cell, decimal, limitPlaces, limitsCell, limitText, percent, significant, withHalfWidth } from "./typeset.ts";

test("sets the minus sign on paper and keeps ASCII for programs", () => {
  expect(cell("-0.021")).toEqual({ text: "\u22120.021", plain: "-0.021" });
  expect(cell("\u22120.021").plain).toBe("-0.021");
});

test.each([
  [0.1 + 0.2, "0.3"],
  [1e-7, "0.0000001"],
  [-40, "-40"],
  [0, "0"],
  [-1e-320, "0"],
  [1234.5, "1234.5"],
])("writes %s from the log as %s", (value, text) => {
  expect(decimal(value)).toBe(text);
});

test("never widens a limit by rounding it", () => {
  expect(limitText(0.2567, 2, "upper")).toBe("0.25");
  expect(limitText(-0.2567, 2, "lower")).toBe("-0.25");
  expect(limitText(-0.2567, 2, "upper")).toBe("-0.26");
  expect(limitText(0.3, 1, "upper")).toBe("0.3");
  expect(limitText(0.1 + 0.2, 1, "upper")).toBe("0.3");
  expect(limitText(-0.001, 1, "lower")).toBe("0.0");
});

test("gives a column of limits the places it needs, one more than the errors have at most", () => {
  expect(limitPlaces([0.5, -0.5], ["0.412"])).toBe(1);
  expect(limitPlaces([0.406123], ["0.41"])).toBe(3);
  expect(limitPlaces([], [])).toBe(0);
});

test("sets limits as one where they are the same, else both", () => {
  expect(limitsCell("-0.5", "0.5").text).toBe("±0.5");
  expect(limitsCell("-0.1", "0.3").text).toBe("\u22120.1\u202f/\u202f+0.3");
});

test("sets small risks and half widths", () => {
  expect(percent(0.0004)).toBe("<\u202f0.1\u202f%");
  expect(percent(0.2)).toBe("20\u202f%");
  expect(percent(0.0228)).toBe("2.3\u202f%");
  expect(withHalfWidth(-5, 0.5, "°C")).toBe("(\u22125\u202f±\u202f0.5)\u202f°C");
  expect(significant(0.02345, 2)).toBe("0.023");
  expect(significant(1234, 2)).toBe("1234");
});
