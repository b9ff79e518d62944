import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { observeContact, watchContact, type ContactWatch } from "./contact-watch.ts";

/** A contact read every 2 s, "c" closed and "o" open, followed with a hold of 6 s. */
const followed = (readings: string, closed = true): ContactWatch =>
  [...readings].reduce(
    (watch, letter, index) => observeContact(watch, 2 * index, letter === "c", 6),
    watchContact(closed),
  );

describe("a change of a contact [C61]", () => {
  it.each<[string, string, { from: number; to: number; bounces: number } | null]>([
    ["clean: between the last old and the first new reading", "ccccoooo", { from: 6, to: 8, bounces: 0 }],
    ["not yet, while it has not stayed for the hold", "ccccooo", null],
    ["chatter lies within it, and is counted", "ccccococcoooo", { from: 6, to: 18, bounces: 2 }],
    ["a reading alone is a bounce", "cccoccccccccccccccccccc", null],
    ["nothing happened", "cccccccc", null],
  ])("%s", (_, readings, wanted) => {
    const { change } = followed(readings);
    expect(change).toEqual(wanted === null ? null : { closed: false, ...wanted });
  });

  it("forgets a flicker after a rest of six holds, so that the change later is bracketed by itself", () => {
    const rest = "c".repeat(20);
    expect(followed(`ccoc${rest}oooo`).change).toMatchObject({ from: 2 * 23, to: 2 * 24, bounces: 0 });
    // Without that rest the flicker belongs to the change.
    expect(followed("ccoccccoooo").change).toMatchObject({ from: 2, to: 14, bounces: 1 });
  });

  it("needs two readings in the new state, however far they are apart", () => {
    const once = observeContact(observeContact(watchContact(true), 0, true, 0), 60, false, 0);
    expect(once.change).toBeNull();
    expect(observeContact(once, 120, false, 0).change).toMatchObject({ from: 0, to: 60 });
  });

  it("is the same however the readings come in blocks, and never changes again", () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom("c", "o"), maxLength: 60 }), (readings) => {
        const whole = followed(readings);
        const changedAt = [...readings].findIndex((_, index) => followed(readings.slice(0, index + 1)).change !== null);
        expect(changedAt === -1 ? null : followed(readings.slice(0, changedAt + 1)).change).toEqual(whole.change);
        if (whole.change === null) return;
        const { from, to } = whole.change;
        expect(readings[to / 2]).toBe("o");
        expect(from === to || readings[from / 2] === "c").toBe(true);
        expect(readings.slice(to / 2, to / 2 + 4)).toBe("oooo");
      }),
      { seed: 61, numRuns: 300 },
    );
  });
});
