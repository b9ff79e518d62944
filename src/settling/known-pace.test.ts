import { describe, expect, it } from "vitest";
import { correctionBy, learnPace } from "./known-pace.ts";
import { defaultSettling } from "./options.ts";
import type { KnownPace } from "./pace.ts";
import { createSettling, type SettlingState } from "./state.ts";

/** An approach that was ready at 1000 s, when the forecast made at 200 s on the way had said `said`. */
const finished = (said: number): SettlingState => ({
  ...createSettling({ ...defaultSettling, target: 0.1 }),
  ownReady: true,
  readySince: 980,
  foretold: { way: { time: 200, at: said }, rest: null },
});
const learnt = (...said: readonly number[]): KnownPace =>
  said.reduce<KnownPace | undefined>((known, at) => learnPace(known, finished(at)), undefined)!;

describe("what earlier approaches taught about the time left [S16]", () => {
  it("nothing known changes nothing", () => {
    expect(correctionBy(undefined)).toEqual({ factor: 1, doubt: 1 });
    expect(learnPace(undefined, createSettling({ ...defaultSettling, target: 0.1 })).way.count).toBe(0);
  });

  it("forecasts that were too short by the same half are lengthened, and doubted less and less", () => {
    // 400 s were foretold, 800 s it took.
    const [one, many] = [correctionBy(learnt(600).way), correctionBy(learnt(600, 600, 600, 600, 600, 600).way)];
    expect(one.factor).toBeGreaterThan(1.5);
    expect(many.factor).toBeGreaterThan(one.factor);
    expect(many.factor).toBeLessThan(2);
    expect(many.doubt).toBeLessThanOrEqual(one.doubt);
  });

  it("forecasts that were right on the mean stay, and those that scatter are doubted", () => {
    const right = correctionBy(learnt(1000, 1000, 1000).way);
    expect(right.factor).toBeCloseTo(1, 9);
    expect(right.doubt).toBeLessThan(1);
    const scattered = correctionBy(learnt(600, 1800, 600, 1800).way);
    expect(scattered.doubt).toBe(1);
  });

  it("one approach that went wild teaches no more than a factor of four", () => {
    expect(correctionBy(learnt(200.001).way).factor).toBeLessThan(4);
  });
});
