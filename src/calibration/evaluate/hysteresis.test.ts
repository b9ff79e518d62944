import { describe, expect, it } from "vitest";
import { logView } from "../log/log-view.ts";
import { seenHysteresis } from "./hysteresis.ts";
import { inventedJob, InventedRun } from "./invented-run.test-support.ts";
import type { PointData } from "./point-data.ts";

/** Points at 0, 50, 100, 50, 0, 50 °C: 50 °C is met rising, falling, and rising once more. */
const temperatures = [0, 50, 100, 50, 0, 50];
const errors = [0, 0.1, 0, 0.28, 0, 0.25];
const job = inventedJob({
  procedure: { ...inventedJob().procedure, points: temperatures.map((temperature) => ({ temperature })) },
});
const run = new InventedRun(job).begin();
for (const [point, error] of errors.entries()) run.measure({ point, errors: [error] });
const view = logView(run.events);
const measuredAt = (point: number) => view.history("as-found", point).measured!;

/** What of a point's data counts here: its error and where it was measured. */
const dataOf = (point: number, error = errors[point]!): PointData =>
  ({
    nominal: temperatures[point],
    reference: 50,
    indication: 50 + error,
    measured: measuredAt(point),
  }) as unknown as PointData;
const seenAt = (point: number, others: (point: number) => PointData | undefined = dataOf) =>
  seenHysteresis(view, { item: job.items[0]!, pass: "as-found", point }, dataOf(point), others);

describe("what going both ways shows at a point [C51]", () => {
  it("is the error falling less the error rising, seen from either", () => {
    expect(seenAt(1)).toMatchObject({ difference: expect.closeTo(0.18, 12), partner: 3, direction: "rising" });
    // From the point that was reached falling, the rising one that differs most.
    expect(seenAt(3)).toMatchObject({ difference: expect.closeTo(0.18, 12), partner: 1, direction: "falling" });
    expect(seenAt(5)).toMatchObject({ difference: expect.closeTo(0.03, 12), partner: 3, direction: "rising" });
  });

  it("is the largest of several, without regard to its sign or their order", () => {
    const withErrors = (first: number, last: number) => (point: number) =>
      dataOf(point, point === 1 ? first : point === 5 ? last : errors[point]!);
    expect(seenAt(3, withErrors(0.3, 0.9))).toMatchObject({ difference: expect.closeTo(-0.62, 12), partner: 5 });
    expect(seenAt(3, withErrors(0.9, 0.3))).toMatchObject({ difference: expect.closeTo(-0.62, 12), partner: 1 });
    // Of two that are alike, the first.
    expect(seenAt(3, withErrors(0.1, 0.1))!.partner).toBe(1);
  });

  it("names the log lines of both windows, in their order", () => {
    const lines = [measuredAt(1).n, measuredAt(3).n];
    expect(seenAt(1)!.origin).toEqual(lines);
    expect(seenAt(3)!.origin).toEqual(lines);
  });

  it("is nothing where there is no partner, or none that was measured from the other side", () => {
    expect(seenAt(2)).toBeUndefined();
    expect(seenAt(3, () => undefined)).toBeUndefined();
    // Of the point at 50 °C that was reached rising, the other rising one tells nothing.
    expect(seenAt(1, (point) => (point === 5 ? dataOf(5) : undefined))).toBeUndefined();
    expect(seenAt(3, (point) => (point === 5 ? dataOf(5) : undefined))).toMatchObject({ partner: 5 });
  });
});
