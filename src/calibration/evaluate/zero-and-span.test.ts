import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import type { JobInput } from "../job/job.ts";
import type { Item } from "../job/item.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, thermocouple, transmitter } from "./invented-run.test-support.ts";
import { proposeAdjustment, zeroAndSpan } from "./zero-and-span.ts";

const temperatures = [0, 50, 100, 150];
const { procedure } = inventedJob();
const found = (
  errors: readonly number[],
  item: JobInput["items"][number] = transmitter,
  points: readonly number[] = temperatures,
) => {
  const job = inventedJob({
    items: [item],
    procedure: { ...procedure, points: points.map((temperature) => ({ temperature })) },
  });
  const run = new InventedRun(job).begin();
  for (const [point, error] of errors.entries()) run.measure({ point, errors: [error], noise: 0.002 });
  return { result: evaluate(run.events).items[0]!, item: job.items[0] as Item };
};
const corrected = (errors: readonly number[], item?: JobInput["items"][number], points?: readonly number[]) => {
  const { result, item: own } = found(errors, item, points);
  return unwrap(zeroAndSpan(result, own));
};

describe("zero and span [C33]", () => {
  it("undo a straight line of errors, over the range of the loop", () => {
    const correction = corrected(temperatures.map((t) => 0.6 - 0.9 * (t / 150)));
    expect(correction.range).toEqual({ lower: 0, upper: 150 });
    expect(correction.zero).toBeCloseTo(-0.6, 2);
    expect(correction.span).toBeCloseTo(0.9, 2);
    expect(correction.forecast.map(({ nominal }) => nominal)).toEqual(temperatures);
    for (const { asFound, shift, asLeft, U, shiftU } of correction.forecast) {
      expect(asLeft).toBeCloseTo(asFound + shift, 12);
      expect(Math.abs(asLeft)).toBeLessThan(0.01);
      // What is common to all points does not average out, so the shift is known about as well as a single error.
      expect(shiftU).toBeLessThan(U * 1.1);
      expect(shiftU).toBeGreaterThan(U * 0.8);
    }
    expect(correction).toMatchObject({
      advice: "adjust",
      reason: expect.stringMatching(/largest error would go from 0\.60? K/),
    });
  });

  it("turned to the item's own line leave nothing when the run is made again", () => {
    const errors = temperatures.map((t) => 0.3 + 0.4 * (t / 150));
    const { zero, span } = corrected(errors);
    const again = corrected(errors.map((error, index) => error + zero + span * (temperatures[index]! / 150)));
    expect(Math.abs(again.zero)).toBeLessThan(0.01);
    expect(Math.abs(again.span)).toBeLessThan(0.01);
    expect(again.advice).toBe("leave-alone");
  });

  it("count from the lower end of the range, wherever that lies", () => {
    const item = { ...transmitter, sensor: { kind: "loop" as const, lower: -20, upper: 180 } };
    const points = [-20, 30, 80, 180];
    const correction = corrected(
      points.map((t) => 0.6 - 0.9 * ((t + 20) / 200)),
      item,
      points,
    );
    expect(correction.range).toEqual({ lower: -20, upper: 180 });
    expect(correction.zero).toBeCloseTo(-0.6, 2);
    expect(correction.span).toBeCloseTo(0.9, 2);
  });

  it("from a single temperature correct the zero alone", () => {
    const correction = corrected([0.7], transmitter, [75]);
    expect(correction.zero).toBeCloseTo(-0.7, 2);
    expect(correction.span).toBe(0);
    expect(correction.spanU).toBe(0);
  });

  it("use the range of use of an item that shows °C, else the temperatures measured", () => {
    const shown: JobInput["items"][number] = {
      ...transmitter,
      sensor: { kind: "indication" },
      channel: "shown",
      unit: "°C",
    };
    expect(corrected([0.5, 0.5, 0.5, 0.5], { ...shown, range: { lower: -20, upper: 180 } }).range).toEqual({
      lower: -20,
      upper: 180,
    });
    expect(corrected([0.5, 0.5, 0.5, 0.5], shown).range.upper).toBeCloseTo(150, 1);
    // A single temperature is a range without a width.
    const alone = corrected([0.5], shown, [75]);
    expect(alone.zero).toBeCloseTo(-0.5, 2);
    expect(alone.forecast[0]!.shift).toBe(alone.zero);
    expect(alone.zeroU).toBeGreaterThan(0);
    expect(
      corrected([0.5, 0.5, 0.5, 0.5], { ...transmitter, sensor: { kind: "loop", lower: 150, upper: 0 } }).range,
    ).toEqual({ lower: 0, upper: 150 });
  });

  it("are not for a bare sensor, nor without a measured point", () => {
    const bare = found([0.5, 0.5], thermocouple);
    expect(zeroAndSpan(bare.result, bare.item)).toMatchObject({
      ok: false,
      fault: { code: "run.not-allowed", message: expect.stringMatching(/bare sensor/) },
    });
    const none = found([]);
    expect(zeroAndSpan(none.result, none.item)).toMatchObject({
      ok: false,
      fault: { message: expect.stringMatching(/no measured point/) },
    });
  });
});

describe("advice [C34]", () => {
  it("is to leave alone a shift within its own uncertainty", () => {
    expect(corrected([0.03, 0.02, -0.01, 0.02])).toMatchObject({
      advice: "leave-alone",
      reason: expect.stringMatching(/chase noise/),
    });
  });

  it("is to leave alone what a straight line cannot mend", () => {
    expect(corrected([0.5, -0.5, -0.5, 0.5])).toMatchObject({ advice: "leave-alone" });
    // One point far off: the line through all would spread its error over the good ones, and the worst becomes smaller.
    expect(corrected([0, 0, 0, 1.2]).advice).toBe("adjust");
  });

  const agreed = { kind: "zero-and-span", adjustAbove: 0.7, authorisedBy: "demo customer" } as const;
  it.each<[string, readonly number[], typeof agreed | undefined, string, RegExp]>([
    ["nothing agreed", [0.6, 0.6, 0.6, 0.6], undefined, "leave-alone", /agrees no adjustment/],
    [
      "small errors",
      [0.3, 0.2, 0.2, 0.3],
      agreed,
      "leave-alone",
      /60 % of its tolerance; the procedure adjusts above 70 %/,
    ],
    ["large errors", [0.4, 0.4, 0.4, 0.4], agreed, "adjust", /largest error would go/],
    ["large errors below", [-0.6, -0.5, -0.4, -0.4], agreed, "adjust", /largest error would go/],
  ])("%s", (_, errors, adjustment, decision, reason) => {
    const { result, item } = found(errors);
    const proposal = proposeAdjustment(result, item, adjustment);
    expect(proposal).toMatchObject({ decision, reason: expect.stringMatching(reason) });
    expect(proposal.correction === null).toBe(adjustment === undefined);
  });

  it("a bare sensor is left alone, with the reason", () => {
    const { result, item } = found([3, 3], thermocouple);
    expect(proposeAdjustment(result, item, agreed)).toMatchObject({
      decision: "leave-alone",
      correction: null,
      reason: expect.stringMatching(/bare sensor/),
    });
  });
});
