import { describe, expect, it } from "vitest";
import { isSwitch, type SwitchItem } from "../job/switch-sweeps.ts";
import { changesAtRest } from "./at-rest.ts";
import { rampJob, type RampJobChange } from "./ramp-log.test-support.ts";
import type { SeenChange } from "./sweep-result.ts";

const switchOf = (sensor: RampJobChange["sensor"] = {}): SwitchItem => {
  const [item] = rampJob({ sensor }).items;
  if (!isSwitch(item!)) throw new Error("no switch");
  return item;
};
const ramp = rampJob({ ramp: { lagWithin: 45 } }).procedure.ramp!;
/** A change at a temperature, at a rate in K/min with its sign. */
const seen = (temperature: number, rate: number): SeenChange => ({
  temperature,
  rate: rate / 60,
  halfWidth: 0.01,
  bounces: 0,
  since: 600,
  referenceDigit: { wire: undefined, values: 0.001 },
  origin: [1],
});
const atRate = (rate: number, ...temperatures: readonly number[]): SeenChange[] =>
  temperatures.map((temperature) => seen(temperature, rate));

describe("changes brought to rest", () => {
  it("are means as they are where no lag is known, ±lagWithin rectangular [C63, C65]", () => {
    const at = changesAtRest(
      { rising: atRate(0.5, 90, 90.3, 90.6), falling: atRate(-0.5, 87, 87.2) },
      switchOf(),
      ramp,
    );
    expect(at.lag).toEqual({ known: "bounded", seconds: 0, u: 45 / Math.sqrt(3) });
    expect(at.covariance).toBe(0);
    expect(at.rising!.temperature).toBeCloseTo(90.3, 12);
    // s = 0.3 K of three, 0.2/√2 K of two.
    expect(at.rising!.scatter).toMatchObject({ u: expect.closeTo(0.3 / Math.sqrt(3), 12), dof: 2 });
    expect(at.rising!.scatter!.words).toBe("3 cycles, standard deviation 0.3 K");
    expect(at.falling!.scatter).toMatchObject({ u: expect.closeTo(0.2 / 2, 12), dof: 1 });
    for (const side of [at.rising!, at.falling!]) expect(side.rate).toBeCloseTo(0.5 / 60, 12);
    expect(at.rising!.changes).toHaveLength(3);
  });

  it("have a declared lag taken off at the rate of each [C62]", () => {
    const item = switchOf({ lag: { seconds: 60, halfWidth: 12 } });
    const at = changesAtRest({ rising: [seen(90.5, 0.5), seen(90.25, 0.25)], falling: atRate(-0.5, 86.5) }, item, ramp);
    expect(at.lag).toEqual({ known: "declared", seconds: 60, u: 12 / Math.sqrt(3) });
    expect(at.rising!.temperature).toBeCloseTo(90, 12);
    expect(at.rising!.scatter!.u).toBeCloseTo(0, 12);
    expect(at.rising!.rate).toBeCloseTo(0.375 / 60, 12);
    expect(at.falling!.temperature).toBeCloseTo(87, 12);
    // One alone shows no scatter.
    expect(at.falling!.scatter).toBeUndefined();
  });

  it("are undefined in a direction that has none", () => {
    const at = changesAtRest({ rising: atRate(0.5, 90, 90.1), falling: [] }, switchOf(), ramp);
    expect(at.falling).toBeUndefined();
    expect(at.rising).toBeDefined();
  });
});

describe("the lag from two rates [C64]", () => {
  /** Least squares of T = T₀ + r·L by the normal equations of two directions and one lag, worked out apart. */
  const byHand = (rising: readonly SeenChange[], falling: readonly SeenChange[]) => {
    const rows = [
      ...rising.map(({ temperature, rate }) => ({ x: [1, 0, rate], y: temperature })),
      ...falling.map(({ temperature, rate }) => ({ x: [0, 1, rate], y: temperature })),
    ];
    const [n, m] = [rising.length, falling.length];
    const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
    const mean = (side: readonly SeenChange[], key: "rate" | "temperature"): number =>
      sum(side.map((each) => each[key])) / side.length;
    // Within each direction about its own mean: the slope is common.
    const within = (side: readonly SeenChange[]) => {
      const [r, t] = [mean(side, "rate"), mean(side, "temperature")];
      return {
        square: sum(side.map(({ rate }) => (rate - r) ** 2)),
        product: sum(side.map(({ rate, temperature }) => (rate - r) * (temperature - t))),
      };
    };
    const [up, down] = [within(rising), within(falling)];
    const square = up.square + down.square;
    const lag = (up.product + down.product) / square;
    const rest = (side: readonly SeenChange[]): number => mean(side, "temperature") - lag * mean(side, "rate");
    const [t1, t2] = [rest(rising), rest(falling)];
    const variance = sum(rows.map(({ x, y }) => (y - x[0]! * t1 - x[1]! * t2 - x[2]! * lag) ** 2)) / (rows.length - 3);
    const [r1, r2] = [mean(rising, "rate"), mean(falling, "rate")];
    return {
      lag,
      t1,
      t2,
      uLag: Math.sqrt(variance / square),
      u1: Math.sqrt(variance * (1 / n + r1 ** 2 / square)),
      u2: Math.sqrt(variance * (1 / m + r2 ** 2 / square)),
      covariance: (variance * r1 * r2) / square,
    };
  };
  const rising = [seen(90.41, 0.6), seen(90.2, 0.3), seen(90.38, 0.6), seen(90.22, 0.3)];
  const falling = [seen(86.6, -0.6), seen(86.79, -0.3), seen(86.62, -0.6)];

  it("is that of all changes, one temperature for each direction, with their covariance", () => {
    const at = changesAtRest({ rising, falling }, switchOf(), ramp);
    const hand = byHand(rising, falling);
    expect(at.lag.known).toBe("two-rates");
    expect(at.lag.seconds).toBeCloseTo(hand.lag, 6);
    expect(at.lag.u).toBeCloseTo(hand.uLag, 6);
    expect(at.rising!.temperature).toBeCloseTo(hand.t1, 9);
    expect(at.falling!.temperature).toBeCloseTo(hand.t2, 9);
    expect(at.rising!.scatter).toMatchObject({ u: expect.closeTo(hand.u1, 9), dof: 4 });
    expect(at.falling!.scatter).toMatchObject({ u: expect.closeTo(hand.u2, 9), dof: 4 });
    expect(at.covariance).toBeCloseTo(hand.covariance, 12);
    expect(at.covariance).toBeLessThan(0);
    expect(at.rising!.scatter!.words).toMatch(/^fit of 7 changes at two rates, standard deviation 0\.0\d+ K$/);
    expect(at.rising!.rate).toBeCloseTo(0.45 / 60, 12);
    expect(at.falling!.rate).toBeCloseTo(0.5 / 60, 12);
    expect(at.falling!.changes).toBe(falling);
  });

  it("is found from one direction alone, which has no covariance", () => {
    const at = changesAtRest({ rising, falling: [] }, switchOf(), ramp);
    expect(at.lag.known).toBe("two-rates");
    // 90.395 °C at 0.6 K/min and 90.21 °C at 0.3 K/min: 0.185 K over 0.3 K/min are 37 s.
    expect(at.lag.seconds).toBeCloseTo(37, 6);
    expect(at.falling).toBeUndefined();
    expect(at.covariance).toBe(0);
    const down = changesAtRest({ rising: [], falling: [...falling, seen(86.81, -0.3)] }, switchOf(), ramp);
    expect(down.lag.known).toBe("two-rates");
    expect(down.rising).toBeUndefined();
    expect(down.falling!.temperature).toBeCloseTo(87, 1);
  });

  it("needs two degrees of freedom to spare", () => {
    const known = (up: readonly SeenChange[], down: readonly SeenChange[]) =>
      changesAtRest({ rising: up, falling: down }, switchOf(), ramp).lag.known;
    expect(known(rising.slice(0, 2), falling)).toBe("two-rates");
    expect(known(rising.slice(0, 2), falling.slice(0, 2))).toBe("bounded");
    expect(known(rising.slice(0, 3), [])).toBe("bounded");
    expect(known([], [])).toBe("bounded");
  });

  it("needs rates that differ: the slowest no more than 0.85 of the fastest", () => {
    const known = (slow: number) =>
      changesAtRest(
        { rising: [seen(90.4, 1), seen(90.3, slow), seen(90.41, 1), seen(90.31, slow)], falling: [] },
        switchOf(),
        ramp,
      ).lag.known;
    expect([known(0.84), known(0.86), known(1)]).toEqual(["two-rates", "bounded", "bounded"]);
    // Up and down at one rate are no two rates.
    const both = { rising: atRate(0.5, 90, 90.1, 90.2), falling: atRate(-0.5, 87, 87.1, 87.2) };
    expect(changesAtRest(both, switchOf(), ramp).lag.known).toBe("bounded");
  });

  it("is not asked where a lag is declared", () => {
    const item = switchOf({ lag: { seconds: 10, halfWidth: 1 } });
    expect(changesAtRest({ rising, falling }, item, ramp).lag).toMatchObject({ known: "declared", seconds: 10 });
  });
});
