import { describe, expect, it } from "vitest";
import { context, inventedJob, type Wanted } from "../invented-job.test-support.ts";
import { planJob } from "../plan-job.ts";
import { orderIsAllowed, orderRules } from "./order-rules.ts";

const orderOf = (wanted: Wanted) => planJob(inventedJob(wanted), context).order;
const thermocouple: NonNullable<Wanted["item"]> = {
  sensor: { kind: "thermocouple", type: "K" },
  coldJunction: { kind: "ice-point", halfWidth: 0.02 },
  unit: "mV",
};

describe("what binds the order [P6]", () => {
  it("nothing: hot first, so that no cooling down is waited for at the end", () => {
    const order = orderOf({ points: [0, 100, 200, 300] });
    expect(order.temperatures).toEqual([300, 200, 100, 0]);
    expect(order.saves).toBeGreaterThan(1800);
    expect(order.bound).toEqual([]);
  });

  it("the procedure's own word", () => {
    expect(orderOf({ points: [0, 300, 100], order: { kind: "as-written" } }).temperatures).toEqual([0, 300, 100]);
    expect(orderOf({ points: [0, 300, 100], order: { kind: "rising" } }).temperatures).toEqual([0, 100, 300]);
    expect(orderOf({ points: [0, 300, 100], order: { kind: "falling" } }).temperatures).toEqual([300, 100, 0]);
  });

  it("0 °C first where the procedure asks for it, with the rest as it is quickest", () => {
    const order = orderOf({ points: [100, 0, 300], order: { first: 0 } });
    expect(order.temperatures[0]).toBe(0);
    expect(order.bound).toEqual(["The procedure asks for 0 °C first."]);
    expect(orderOf({ points: [100, 0, 300], order: { first: 0, kind: "falling" } }).temperatures).toEqual([
      0, 300, 100,
    ]);
  });

  it("both ways where hysteresis is run: each visit keeps its side, the repeated first point its end", () => {
    const job = inventedJob({ points: [0, 100, 200, 100, 0] });
    expect(orderRules(job)).toMatchObject({ approach: [null, "rising", null, "falling", null], last: 4 });
    expect(planJob(job, context).order.temperatures).toEqual([0, 100, 200, 100, 0]);
    expect(orderIsAllowed(job, [0, 3, 2, 1, 4])).toBe(false);
    expect(orderIsAllowed(job, [0, 1, 2, 3, 4])).toBe(true);
  });

  it("thermocouples rise where the procedure says nothing, and not where it does", () => {
    const tolerance = { kelvin: 5 };
    expect(orderOf({ points: [100, 0, 300], item: thermocouple, tolerance }).temperatures).toEqual([0, 100, 300]);
    const told = orderOf({ points: [100, 0, 300], item: thermocouple, tolerance, order: { kind: "least-time" } });
    expect(told.temperatures).toEqual([300, 100, 0]);
  });

  it("a first point that is measured once more at the end stays the first, and the way back to it counts", () => {
    const job = inventedJob({ points: [0, 100, 300] });
    const closed = { ...job, procedure: { ...job.procedure, repeatFirst: true } };
    const { order, time, items } = planJob(closed, context);
    expect(order.temperatures).toEqual([0, 300, 100]);
    const points = items[0]!.points.slice(0, 3).map((point) => point.time.total);
    expect(time.points).toBeGreaterThan(points.reduce((sum, seconds) => sum + seconds, 0) + 300);
    expect(order.bound).toEqual(["The first point is measured once more at the end, so it stays the first."]);
  });

  it("the side from which the procedure wants a point", () => {
    const job = inventedJob({ points: [0, 100, 200] });
    const [first, middle, last] = job.procedure.points;
    const sided = {
      ...job,
      procedure: { ...job.procedure, points: [first!, { ...middle!, direction: "rising" as const }, last!] },
    };
    expect(planJob(sided, context).order.temperatures).not.toEqual([200, 100, 0]);
    expect(orderIsAllowed(sided, [2, 1, 0])).toBe(false);
    expect(orderIsAllowed(sided, [2, 0, 1])).toBe(true);
  });

  it("only whole orders are allowed", () => {
    const job = inventedJob({ points: [0, 100, 200] });
    expect(
      [
        [0, 1],
        [0, 1, 1],
        [0, 1, 3],
        [0, 1, 2, 2],
      ].map((points) => orderIsAllowed(job, points)),
    ).toEqual([false, false, false, false]);
    expect(orderIsAllowed(job, [2, 0, 1])).toBe(true);
  });
});
