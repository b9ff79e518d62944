import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import {
  defaultSettling,
  createSettling,
  forecastOf,
  observe,
  type SettlingOptions,
  type SettlingState,
} from "#settling";
import {
  approachOf,
  classes,
  coarseAndLoose,
  slowSwing,
  veryLoose,
  type Approach,
  type ApproachClass,
} from "./approaches.test-support.ts";

const optionsFor = (approach: Approach, change: Partial<SettlingOptions> = {}): SettlingOptions => ({
  ...defaultSettling,
  target: 0.1,
  resolution: approach.resolution,
  setPoint: approach.setPoint,
  ...change,
});

/** A target that the class can meet: a coarse digit and a swing of the source cannot be waited away. */
const targetOf = ({ resolution, cycling }: ApproachClass): number =>
  Math.max(0.1, resolution > 0 ? Math.max(0.15, 2.5 * resolution) : 0, 3 * cycling[0]);

interface Settled {
  readonly at: number;
  readonly state: SettlingState;
}

/** Reads an approach as if live; where it is ready, or null. */
const watch = (approach: Approach, options: SettlingOptions): Settled | null => {
  let state = createSettling(options);
  for (let index = 0; index < approach.times.length; index += 1) {
    state = observe(state, {
      time: approach.times[index]!,
      reference: approach.reference[index]!,
      item: approach.item[index]!,
    });
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
    for (let back = 0; back < window; back += 1)
      sum += approach.item[index - back]! - approach.reference[index - back]!;
    if (Math.abs(sum / window - approach.truth) > target) last = approach.times[index]!;
  }
  return last + 40;
};

describe("the decision on approaches in closed form (physics of our own making)", () => {
  it.each([...classes, coarseAndLoose, slowSwing])(
    "$name: within target and covered in 95 % or more [S1, S2, S12, S13]",
    (kind) => {
      const runs = 200;
      const ratios: number[] = [];
      let within = 0;
      let covered = 0;
      let estimated = 0;
      for (let seed = 1; seed <= runs; seed += 1) {
        const approach = approachOf(kind, seed);
        const options = optionsFor(approach, { target: targetOf(kind) });
        const settled = watch(approach, options);
        if (settled === null) continue;
        const { latest } = settled.state;
        // What will be reported: the mean of the readings that follow the decision.
        const first = approach.times.indexOf(settled.at) + 1;
        let sum = 0;
        for (let index = first; index < first + 20; index += 1)
          sum += approach.item[index]! - approach.reference[index]!;
        const missing = Math.abs(sum / 20 - approach.truth);
        if (missing <= options.target) within += 1;
        if (missing <= latest!.bound) covered += 1;
        if (Math.abs(latest!.estimate - approach.truth) <= latest!.bound) estimated += 1;
        ratios.push(settled.at / Math.max(60, oracle(approach, options.target)));
      }
      const median = ratios.toSorted((a, b) => a - b)[Math.floor(ratios.length / 2)];
      process.stdout.write(
        `${kind.name}: ready ${ratios.length}/${runs}, within ${within}, covered ${covered}, estimate covered ${estimated}, median time over ideal ${median?.toFixed(2)}\n`,
      );
      expect(ratios.length).toBe(runs);
      expect(within / runs).toBeGreaterThanOrEqual(0.95);
      expect(covered / runs).toBeGreaterThanOrEqual(0.95);
      expect(estimated / runs).toBeGreaterThanOrEqual(0.95);
    },
  );
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
      const reading = {
        time: approach.times[index]!,
        reference: approach.reference[index]!,
        item: approach.item[index]!,
      };
      straight = observe(straight, reading);
      through = observe(JSON.parse(JSON.stringify(through)), reading);
    }
    expect(through).toEqual(straight);
  });

  it("its memory does not grow with the wait [S6]", () => {
    let state = createSettling(optionsFor(approach, { target: 1e-9 }));
    for (let index = 0; index < 20_000; index += 1)
      state = observe(state, { time: 2 * index, reference: 50, item: 50.1 + 0.01 * Math.sin(index) });
    expect(state.blocks.length).toBeLessThanOrEqual(60);
    expect(state.marks.length).toBeLessThanOrEqual(40);
    expect(state.minutes.length).toBeLessThanOrEqual(90);
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
      state = observe(state, {
        time: approach.times[index]!,
        reference: approach.reference[index]!,
        item: approach.item[index]!,
      });
    }
    expect(state.latest!.inTheWay[0]!.term).toBe("lag");
    expect(state.latest!.inTheWay.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });

  it.each([0.3, 0.6])(
    "forecasts the time left from %d of the wait on, and its interval of 80 % holds [S9]",
    (share) => {
      const errors: number[] = [];
      let held = 0;
      // A loose fit is left out: before its tail is seen, nobody can know of it.
      const ones = [classes[0]!, classes[1]!, classes[2]!, classes[6]!].flatMap((kind) =>
        Array.from({ length: 25 }, (_, index) => approachOf(kind, 500 + index)),
      );
      for (const one of ones) {
        const settled = watch(one, optionsFor(one))!;
        let state = createSettling(optionsFor(one));
        for (let index = 0; one.times[index]! <= share * settled.at; index += 1) {
          state = observe(state, { time: one.times[index]!, reference: one.reference[index]!, item: one.item[index]! });
        }
        const forecast = forecastOf(state);
        if (forecast === null) continue;
        errors.push(Math.abs(forecast.at - settled.at) / settled.at);
        if (forecast.from <= settled.at && settled.at <= forecast.to) held += 1;
      }
      const sorted = errors.toSorted((a, b) => a - b);
      const [median, ninth] = [sorted[Math.floor(sorted.length / 2)]!, sorted[Math.floor(sorted.length * 0.9)]!];
      process.stdout.write(
        `forecast at ${share}: ${errors.length} of ${ones.length}, error in share of the wait: median ${median.toFixed(2)}, 90th percentile ${ninth.toFixed(2)}; interval held ${held}\n`,
      );
      expect(errors.length).toBeGreaterThanOrEqual(0.95 * ones.length);
      expect(median).toBeLessThan(0.25);
      expect(held / errors.length).toBeGreaterThanOrEqual(0.7);
    },
  );

  it("nothing is forecast while the source travels to a set point that was not told [S9]", () => {
    let state = createSettling({ ...defaultSettling, target: 0.1 });
    for (let time = 0; time < 300; time += 2)
      state = observe(state, { time, reference: 20 + 0.1 * time, item: 20 + 0.1 * time });
    expect(forecastOf(state)).toBeNull();
    let told = createSettling({ ...defaultSettling, target: 0.1, setPoint: 80 });
    for (let time = 0; time < 300; time += 2)
      told = observe(told, { time, reference: 20 + 0.1 * time, item: 20 + 0.1 * time });
    expect(forecastOf(told)!.at).toBeGreaterThan(600);
  });
});

describe("a tail slower than the horizon", () => {
  const tailOf = (approach: Approach): boolean =>
    watch(approach, optionsFor(approach, { target: 0.15 }))!.state.latest!.slowTail !== null;

  it("is said where there is one: 5 % at 600 s, in 80 % or more [S11]", () => {
    let said = 0;
    let covered = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
      const approach = approachOf(veryLoose, seed);
      const settled = watch(approach, optionsFor(approach, { target: 0.15 }))!;
      if (settled.state.latest!.slowTail !== null) said += 1;
      if (Math.abs(settled.state.latest!.estimate - approach.truth) <= settled.state.latest!.bound) covered += 1;
    }
    process.stdout.write(`${veryLoose.name}: said ${said}/60, covered ${covered}/60\n`);
    expect(said / 60).toBeGreaterThanOrEqual(0.8);
    expect(covered / 60).toBeGreaterThanOrEqual(0.9);
  });

  it("is not said where there is none, in 98 % or more [S11]", () => {
    // Those whose source itself creeps with 600 s are left out: there the tail is real.
    const without = classes.filter(({ creep, resolution }) => creep[1] < 600 && resolution === 0);
    let said = 0;
    let all = 0;
    for (const kind of without) {
      for (let seed = 300; seed < 360; seed += 1) {
        all += 1;
        if (tailOf(approachOf(kind, seed))) said += 1;
      }
    }
    process.stdout.write(`tail said without one: ${said}/${all}\n`);
    expect(said / all).toBeLessThanOrEqual(0.02);
  });
});

describe("a source that ramps evenly", () => {
  /** A first-order item behind a ramp that ends at 3000 s; readings begin at `from`. */
  const onRamp = (rate: number, lag: number, from: number, target: number) => {
    const noise = seededGenerator(1000 * lag + from);
    let state = createSettling({ ...defaultSettling, target });
    let item = 20;
    for (let time = 0; time < 12_000; time += 1) {
      const reference = 20 + rate * Math.min(time, 3000);
      item += (reference - item) / lag;
      if (time < from || time % 2 === 1) continue;
      state = observe(state, {
        time,
        reference: reference + 0.001 * noise.normal(),
        item: item + 0.1 + 0.002 * noise.normal(),
      });
      if (state.ready) return { missing: Math.abs(item - reference), bound: state.latest!.bound };
    }
    return null;
  };

  it.each([0.1, 0.01, 0.003, 0.001, 0.0003])(
    "of %d K/s never hides the item's lag in a steady difference, watched from rest or from its middle [S10]",
    (rate) => {
      for (const lag of [10, 60, 300]) {
        for (const from of [0, 400]) {
          for (const target of [0.05, 0.2]) {
            const settled = onRamp(rate, lag, from, target);
            expect(settled).not.toBeNull();
            expect(settled!.missing).toBeLessThanOrEqual(Math.min(target, settled!.bound));
          }
        }
      }
    },
  );

  it("is never ready while it lasts, although the difference of two like probes stands still [S10]", () => {
    let state = createSettling({ ...defaultSettling, target: 0.1 });
    for (let time = 0; time < 1800; time += 2) {
      const reference = 20 + 0.02 * time;
      state = observe(state, { time, reference, item: reference + 0.05 });
      expect(state.ready).toBe(false);
    }
    expect(state.latest!.inTheWay[0]!.term).toBe("creep");
  });
});
