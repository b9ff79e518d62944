import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { createSettling, defaultSettling, observe, type SettlingState } from "#settling";
import { approachOf, classes, type Approach } from "./approaches.test-support.ts";

const seed = 20261125;

const readings = (approach: Approach, count: number) =>
  Array.from({ length: count }, (_, index) => ({
    time: approach.times[index]!,
    reference: approach.reference[index]!,
    item: approach.item[index]!,
  }));

const start = (approach: Approach): SettlingState =>
  createSettling({ ...defaultSettling, target: 0.1, resolution: approach.resolution });

const anyApproach = fc
  .tuple(fc.constantFrom(...classes), fc.integer({ min: 1, max: 10_000 }))
  .map(([kind, of]) => approachOf(kind, of));

describe(`the decision, whatever the handling (seed ${seed})`, () => {
  it("is the same when the state is stored and read again at any moments [S5]", () => {
    fc.assert(
      fc.property(anyApproach, fc.array(fc.integer({ min: 0, max: 699 }), { maxLength: 6 }), (approach, cuts) => {
        let straight = start(approach);
        let through = start(approach);
        readings(approach, 700).forEach((reading, index) => {
          straight = observe(straight, reading);
          through = observe(
            cuts.includes(index) ? (JSON.parse(JSON.stringify(through)) as SettlingState) : through,
            reading,
          );
        });
        expect(through).toEqual(straight);
      }),
      { seed, numRuns: 30 },
    );
  });

  it("does not depend on when the clock was started, nor on a common offset of both thermometers [S14]", () => {
    fc.assert(
      fc.property(
        anyApproach,
        fc.integer({ min: 0, max: 100_000 }),
        fc.integer({ min: -200, max: 800 }),
        (approach, later, warmer) => {
          let plain = start(approach);
          let moved = start(approach);
          for (const { time, reference, item } of readings(approach, 700)) {
            plain = observe(plain, { time, reference, item });
            moved = observe(moved, { time: time + later, reference: reference + warmer, item: item + warmer });
          }
          expect(moved.ready).toBe(plain.ready);
          expect(moved.latest!.estimate).toBeCloseTo(plain.latest!.estimate, 6);
          expect(Math.log(moved.latest!.bound / plain.latest!.bound)).toBeCloseTo(0, 6);
        },
      ),
      { seed, numRuns: 30 },
    );
  });

  it("mirrors when everything is mirrored: cooling down is judged like heating up [S14]", () => {
    fc.assert(
      fc.property(anyApproach, (approach) => {
        let up = start(approach);
        let down = start(approach);
        for (const { time, reference, item } of readings(approach, 700)) {
          up = observe(up, { time, reference, item });
          down = observe(down, { time, reference: -reference, item: -item });
        }
        expect(down.ready).toBe(up.ready);
        expect(down.latest!.estimate).toBeCloseTo(-up.latest!.estimate, 9);
        expect(down.latest!.bound).toBeCloseTo(up.latest!.bound, 9);
      }),
      { seed, numRuns: 30 },
    );
  });

  it("never states a bound below the remainder, nor a negative one [S2]", () => {
    fc.assert(
      fc.property(anyApproach, (approach) => {
        let state = start(approach);
        for (const reading of readings(approach, 700)) {
          state = observe(state, reading);
          if (state.latest === null) continue;
          expect(state.latest.remainder).toBeGreaterThan(0);
          expect(state.latest.bound).toBeGreaterThanOrEqual(state.latest.remainder);
          expect(state.ready && state.latest.bound > 0.1).toBe(false);
        }
      }),
      { seed, numRuns: 20 },
    );
  });
});
