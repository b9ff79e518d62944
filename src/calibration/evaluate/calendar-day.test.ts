import { describe, expect, it } from "vitest";
import { calendarDay, dayAfter } from "./calendar-day.ts";

describe("calendar days", () => {
  // Counted with the calendar of another language's standard library.
  it.each([
    ["1970-01-01", 0],
    ["1999-12-31", 10956],
    ["2000-02-29", 11016],
    ["2000-03-01", 11017],
    ["2024-02-29", 19782],
    ["2025-12-31", 20453],
    ["2026-07-12", 20646],
    ["2100-03-01", 47541],
  ] as const)("%s is day %d from 1970-01-01", (date, day) => {
    expect(calendarDay(date)).toBe(day);
  });

  it("pass at midnight UTC", () => {
    const day = calendarDay("2026-07-12");
    expect(dayAfter("2026-07-12T23:59:50Z", 9)).toBe(day);
    expect(dayAfter("2026-07-12T23:59:50Z", 10)).toBe(day + 1);
    expect(dayAfter("2026-07-12T08:00Z", 3 * 86_400)).toBe(day + 3);
    expect(dayAfter("2026-07-12T00:00:00.500Z", 0)).toBe(day);
  });
});
