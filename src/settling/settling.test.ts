import { describe, expect, it } from "vitest";
import { defaultSettling, createSettling, forecastOf, observe, type SettlingOptions, type SettlingState } from "#settling";
import { approachOf, classes, type Approach } from "./approaches.test-support.ts";

const optionsFor = (approach: Approach, change: Partial<SettlingOptions> = {}): SettlingOptions => ({
  ...defaultSettling,
  target: 0.1,
  resolution: approach.resolution,
  ...change,
});

interface Settled {
  readonly at: number;
  readonly state: SettlingState;
}

/** Reads an approach as if live; where it is ready, or null. */
const watch = (approach: Approach, options: SettlingOptions): Settled | null => {
  let state = createSettling(options);
  for (let index = 0; index < approach.times.length; index += 1) {
    state = observe(state, { time: approach.times[index]!, reference: approach.reference[index]!, item: approach.item[index]! });
    if (state.ready) return { at: approach.times[index]!, state };
  }
  return null;
};

/** The earliest moment from which the windowed mean error stays within the target: what perfect knowledge would wait. */
const oracle = (approach: Approach, target: number): number => {
  let last = 0;
  const window = 20;
  for (let index = window; index < approach.times.length; index += 1) {
    let sum = 0;
    for (let back = 0; back < window; back += 1) sum += approach.item[index - back]! - approach.reference[index - back]!;
    if (Math.abs(sum / window - approach.truth) > target) last = approach.times[index]!;
  }
  return last + 40;
};

describe("the decision on approaches in closed form (physics of our own making)", () => {
  it.each(classes.map((kind) => [kind.name, kind] as const))("%s: within target and covered in 95 %% or more [S1, S2]", (_, kind) => {
    const runs = 200;
    const ratios: number[] = [];
    let within = 0;
    let covered = 0;
    let estimated = 0;
    for (let seed = 1; seed <= runs; seed += 1) {
      const approach = approachOf(kind, seed);
      const options = optionsFor(approach, kind.resolution > 0 ? { target: 0.15 } : {});
      const settled = watch(approach, options);
      if (settled === null) continue;
      const { latest } = settled.state;
      // What will be reported: the mean of the readings that follow the decision.
      const first = approach.times.indexOf(settled.at) + 1;
      let sum = 0;
      for (let index = first; index < first + 20; index += 1) sum += approach.item[index]! - approach.reference[index]!;
      const missing = Math.abs(sum / 20 - approach.truth);
      if (missing <= options.target) within += 1;
      if (missing <= latest!.bound) covered += 1;
      if (Math.abs(latest!.estimate - approach.truth) <= latest!.bound) estimated += 1;
      ratios.push(settled.at / Math.max(60, oracle(approach, options.target)));
    }
    const median = ratios.toSorted((a, b) => a - b)[Math.floor(ratios.length / 2)];
    process.stdout.write(`${kind.name}: ready ${ratios.length}/${runs}, within ${within}, covered ${covered}, estimate covered ${estimated}, median time over ideal ${median?.toFixed(2)}\n`);
    expect(ratios.length).toBe(runs);
    expect(within / runs).toBeGreaterThanOrEqual(0.95);
    expect(covered / runs).toBeGreaterThanOrEqual(0.95);
    expect(estimated / runs).toBeGreaterThanOrEqual(0.95);
  });
});

describe("what a decision rests on", () => {
  const approach = approachOf(classes[1]!, 5);

  it("nothing is judged before the shortest window is full [S3]", () => {
    const settled = watch(approach, optionsFor(approach, { minimumWindow: 600 }));
    expect(settled!.at).toBeGreaterThanOrEqual(600);
    const { window } = settled!.state.latest!;
    expect(window.to - window.from).toBeGreaterThanOrEqual(580);
  });

  it("ready needs two judgements that hold, apart in time [S4]", () => {
    const settled = watch(approach, optionsFor(approach))!;
    expect(settled.at - settled.state.readySince!).toBeGreaterThanOrEqual(20);
    expect(settled.state.marks.slice(-2).every((mark) => mark.ratio <= 1)).toBe(true);
  });

  it("a state that goes through JSON in the middle decides the same, reading for reading [S5]", () => {
    const options = optionsFor(approach);
    let straight = createSettling(options);
    let through = createSettling(options);
    for (let index = 0; index < 900; index += 1) {
      const reading = { time: approach.times[index]!, reference: approach.reference[index]!, item: approach.item[index]! };
      straight = observe(straight, reading);
      through = observe(JSON.parse(JSON.stringify(through)), reading);
    }
    expect(through).toEqual(straight);
  });

  it("its memory does not grow with the wait [S6]", () => {
    let state = createSettling(optionsFor(approach, { target: 1e-9 }));
    for (let index = 0; index < 20_000; index += 1) state = observe(state, { time: 2 * index, reference: 50, item: 50.1 + 0.01 * Math.sin(index) });
    expect(state.blocks.length).toBeLessThanOrEqual(60);
    expect(state.marks.length).toBeLessThanOrEqual(40);
  });

  it("a reading that is no number, or older than the present block, changes nothing [S7]", () => {
    const state = observe(createSettling(optionsFor(approach)), { time: 100, reference: 20, item: 21 });
    for (const reading of [
      { time: 110, reference: Number.NaN, item: 21 },
      { time: 110, reference: 20, item: Number.POSITIVE_INFINITY },
      { time: 50, reference: 20, item: 21 },
    ]) {
      expect(observe(state, reading)).toBe(state);
    }
  });

  it("says what is in the way, and the shares add up [S8]", () => {
    let state = createSettling(optionsFor(approach));
    for (let index = 0; index < 150; index += 1) {
      state = observe(state, { time: approach.times[index]!, reference: approach.reference[index]!, item: approach.item[index]! });
    }
    expect(state.latest!.inTheWay[0]!.term).toBe("lag");
    expect(state.latest!.inTheWay.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });

  it("forecasts the time left while the bound comes down: half the time out, it is right within 40 % in most cases [S9]", () => {
    const errors: number[] = [];
    for (let seed = 1; seed <= 60; seed += 1) {
      const one = approachOf(classes[1]!, seed);
      const settled = watch(one, optionsFor(one))!;
      let state = createSettling(optionsFor(one));
      for (let index = 0; one.times[index]! <= 0.6 * settled.at; index += 1) {
        state = observe(state, { time: one.times[index]!, reference: one.reference[index]!, item: one.item[index]! });
      }
      const forecast = forecastOf(state);
      if (forecast !== null) errors.push(Math.abs(forecast.at - settled.at) / settled.at);
    }
    const sorted = errors.toSorted((a, b) => a - b);
    process.stdout.write(`forecast at 60 %: ${errors.length} of 60, median error ${(100 * sorted[Math.floor(sorted.length / 2)]!).toFixed(0)} % of the wait\n`);
    expect(errors.length).toBeGreaterThanOrEqual(40);
    expect(sorted[Math.floor(sorted.length * 0.75)]).toBeLessThan(0.4);
  });
});

describe("a source that ramps evenly", () => {
  it("is never ready, although the difference of two like probes stands still [S10]", () => {
    let state = createSettling({ ...defaultSettling, target: 0.1 });
    for (let time = 0; time < 1800; time += 2) {
      const reference = 20 + 0.02 * time;
      state = observe(state, { time, reference, item: reference + 0.05 });
      expect(state.ready).toBe(false);
    }
    expect(state.latest!.inTheWay[0]!.term).toBe("creep");
  });
});
