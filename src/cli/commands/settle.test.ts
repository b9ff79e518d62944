import { describe, expect, it } from "vitest";
import { ask } from "./ask.test-support.ts";
import { settle } from "./settle.ts";

interface Answer {
  readonly id?: string;
  readonly settled?: boolean;
  readonly at: number;
  readonly estimate: number;
  readonly U: number;
  readonly remainder: number;
  readonly forecast?: { readonly at: number; readonly interval: readonly [number, number] };
  readonly error?: { readonly code: string; readonly message: string; readonly data: Record<string, unknown> };
}

/**
 * A source that goes from 25 °C to 100 °C as a first-order step of 60 s; a reference that follows with 10 s and an item with
 * 40 s, both in closed form (two lags in a row); the item is off by 0.123 K. A ripple in place of noise.
 */
const approach = (seconds: number, changes: object = {}) => {
  const lagged = (time: number, lag: number) =>
    100 - (75 * (60 * Math.exp(-time / 60) - lag * Math.exp(-time / lag))) / (60 - lag);
  const time = Array.from({ length: seconds / 2 }, (_, index) => 2 * index);
  const ripple = (at: number) => 0.003 * Math.sin(at * 12.9898) + 0.003 * Math.sin(at * 78.233);
  return {
    id: "a",
    time,
    reference: time.map((at) => lagged(at, 10) + ripple(at) / 3),
    item: time.map((at) => lagged(at, 40) + 0.123 + ripple(at + 0.7)),
    setPoint: 100,
    previousSetPoint: 25,
    target: 0.1,
    ...changes,
  };
};

const answers = async (lines: readonly (object | string)[]) => {
  const { code, text } = await ask(
    settle,
    lines.map((line) => `${typeof line === "string" ? line : JSON.stringify(line)}\n`).join(""),
  );
  return {
    code,
    given: text
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as Answer),
  };
};

describe("settle", () => {
  it("says when an approach was ready, what the difference is, and how sure that is", async () => {
    const { code, given } = await answers([approach(2000)]);
    expect(code).toBe(0);
    const [answer] = given;
    expect(answer).toMatchObject({ id: "a", settled: true });
    expect(Math.abs(answer!.estimate - 0.123)).toBeLessThan(answer!.U);
    expect(answer!.U).toBeLessThanOrEqual(0.1);
    expect(answer!.remainder).toBeLessThanOrEqual(answer!.U);
    // The item lags by 30 s behind the reference at the end: 0.1 K is won after some 450 s, and two minutes must be seen.
    expect(answer!.at).toBeGreaterThan(300);
    expect(answer!.at).toBeLessThan(1000);
  });

  it("what comes later is not looked at, and a source or a missing reading changes no decision", async () => {
    const whole = approach(2000);
    const source = whole.time.map(() => 100);
    const longer = approach(4000);
    const holes = { ...longer, item: longer.item.map((value, index) => (index === 1500 ? null : value)) };
    const { given } = await answers([whole, longer, { ...whole, source }, holes]);
    for (const answer of given.slice(1)) expect(answer).toEqual(given[0]);
  });

  it("an approach that ends too early gets a forecast that reaches beyond it", async () => {
    const { code, given } = await answers([approach(240)]);
    expect(code).toBe(0);
    const { settled, forecast } = given[0]!;
    expect(settled).toBe(false);
    expect(forecast!.at).toBeGreaterThanOrEqual(238);
    expect(forecast!.interval[0]).toBeLessThanOrEqual(forecast!.at);
    expect(forecast!.interval[1]).toBeGreaterThanOrEqual(forecast!.at);
  });

  it("a display that is coarser than the noise waits longer and states more", async () => {
    const coarse = approach(3000);
    const item = coarse.item.map((value) => Math.round(value / 0.05) * 0.05);
    const { given } = await answers([coarse, { ...coarse, item, itemResolution: 0.05 }]);
    expect(given[1]!.settled).toBe(true);
    expect(given[1]!.U).toBeGreaterThan(given[0]!.U);
    expect(Math.abs(given[1]!.estimate - 0.123)).toBeLessThan(given[1]!.U);
  });

  it("each line that cannot be answered gets its error in its place, and the rest its answers", async () => {
    const right = approach(2000);
    const { code, given } = await answers([
      right,
      "{not json",
      { ...right, id: undefined },
      { ...right, item: right.item.slice(1) },
      { ...right, time: right.time.toReversed() },
      { ...right, target: 0 },
      { ...right, previousSetPoint: "cold" },
      { ...right, colour: "red" },
      { ...right, id: "z" },
    ]);
    expect(code).toBe(1);
    expect(given.map((answer) => answer.error?.data?.["field"] ?? answer.error?.code ?? answer.id)).toEqual([
      "a",
      "input.malformed",
      "id",
      "item",
      "time",
      "target",
      "previousSetPoint",
      "colour",
      "z",
    ]);
  });

  it("words are wrong usage", async () => {
    await expect(ask(settle, "", ["file.jsonl"])).rejects.toMatchObject({ code: "usage.wrong" });
  });
});
