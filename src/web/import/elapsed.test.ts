import { expect, test } from "vitest";
import { elapsedSeconds, elapsedText } from "./elapsed.ts";

test.each([
  [0, "0:00:00"],
  [59.999, "0:00:59.999"],
  [60, "0:01:00"],
  [3661.5, "1:01:01.5"],
  [90_000, "25:00:00"],
])("%s s is %s, there and back", (seconds, text) => {
  expect(elapsedText(seconds)).toBe(text);
  expect(elapsedSeconds(text)).toBeCloseTo(seconds, 9);
});

test.each([
  ["90", 90],
  ["12:30", 750],
  [" 1:00:00,25 ", 3600.25],
  ["", null],
  ["soon", null],
  ["1:2:3:4", null],
  ["-5", null],
])("what is typed as %j is %j", (text, seconds) => {
  expect(elapsedSeconds(text)).toBe(seconds);
});
