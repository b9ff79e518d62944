import { expect, test } from "vitest";
import { dayAfter, isDay } from "./calendar.ts";

// oxlint-disable no-restricted-globals -- the platform's calendar is the second opinion here
const platformDay = (opened: string, seconds: number): string =>
  new Date(Date.parse(opened) + seconds * 1000).toISOString().slice(0, 10);

test("agrees with the platform's calendar over 400 years, leap days included", () => {
  for (let year = 1904; year < 2304; year += 1) {
    for (const day of ["01-01T00:00:00Z", "02-28T23:59:59Z", "03-01T12:00:00Z", "12-31T23:30:00.5Z"]) {
      const opened = `${year}-${day}`;
      for (const seconds of [0, 1, 1800, 86_399, 86_400, 400 * 86_400]) {
        expect(dayAfter(opened, seconds)).toBe(platformDay(opened, seconds));
      }
    }
  }
});

test.each([
  ["2026-03-31", true],
  ["2024-02-29", true],
  ["2026-02-29", false],
  ["2026-13-01", false],
  ["31.03.2026", false],
  ["", false],
])("%s is a day: %s", (text, expected) => {
  expect(isDay(text)).toBe(expected);
});
