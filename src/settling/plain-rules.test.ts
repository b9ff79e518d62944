import { describe, expect, it } from "vitest";
import { observe, observeSource } from "./observe.ts";
import { defaultSettling, type SettlingOptions } from "./options.ts";
import { emptyWatch, findRules, watchRules, type PlainRules, type RuleWatch } from "./plain-rules.ts";
import { createSettling, type SettlingState } from "./state.ts";

const rules = (written: Partial<PlainRules>): PlainRules => ({ reachedWithin: 0.5, limits: [], ...written });

/** Readings every 2 s of a reference that arrives at `arrives` and then stands at 100 °C plus `wave`. */
const watched = (
  of: PlainRules,
  until: number,
  { arrives = 0, wave = () => 0 }: { arrives?: number; wave?: (time: number) => number } = {},
): RuleWatch => {
  let watch = emptyWatch;
  for (let time = 0; time <= until; time += 2) {
    const reference = time < arrives ? 80 : 100 + wave(time);
    watch = watchRules(watch, of, { time, reference, item: reference + 0.1, difference: 0.1 }, 100);
  }
  return watch;
};

describe("the rules of a written procedure [S15]", () => {
  it("a soak counts from when the reference came near the set point and stayed", () => {
    const soak = rules({ soak: 600 });
    expect(findRules(watched(soak, 600), soak)).toMatchObject([{ rule: "soak", value: 600, limit: 600, holds: true }]);
    expect(findRules(watched(soak, 600, { arrives: 100 }), soak)).toMatchObject([{ value: 500, holds: false }]);
    const left = watched(soak, 700, { wave: (time) => (time === 200 ? 0.6 : 0) });
    expect(findRules(left, soak)).toMatchObject([{ value: 498, holds: false }]);
    expect(findRules(watched(soak, 50, { arrives: 100 }), soak)).toMatchObject([{ value: null, holds: false }]);
  });

  it("a spread is of all readings of the window, and of none before it is full", () => {
    const spread = rules({ limits: [{ on: "reference", window: 300, spread: 0.1 }] });
    const wave = (time: number) => 0.04 * Math.sin(time / 7);
    expect(findRules(watched(spread, 280, { wave }), spread)).toMatchObject([{ value: null, holds: false }]);
    const [held] = findRules(watched(spread, 400, { wave }), spread);
    expect(held).toMatchObject({ rule: "spread", on: "reference", holds: true });
    expect(held!.value).toBeCloseTo(0.08, 2);
    const spike = watched(spread, 400, { wave: (time) => (time === 250 ? 0.2 : 0) });
    expect(findRules(spike, spread)[0]!.value).toBeCloseTo(0.2, 9);
  });

  it("a slope is that of the straight line, in kelvin a minute, either way", () => {
    const slope = rules({ reachedWithin: 10, limits: [{ on: "item", window: 120, slope: 0.05 }] });
    for (const perMinute of [0.03, -0.03, 0.07, -0.07]) {
      const watch = watched(slope, 600, { wave: (time) => (perMinute * time) / 60 });
      const [found] = findRules(watch, slope);
      expect(found!.value).toBeCloseTo(Math.abs(perMinute), 6);
      expect(found!.holds).toBe(Math.abs(perMinute) < 0.05);
    }
  });

  it("a silence breaks a window, and what is kept does not grow with the wait", () => {
    const spread = rules({ limits: [{ on: "difference", window: 200, spread: 1 }] });
    let watch = watched(spread, 400);
    watch = watchRules(watch, spread, { time: 700, difference: 0.1 }, 100);
    expect(findRules(watch, spread)).toMatchObject([{ value: null, holds: false }]);
    expect(JSON.stringify(watched(spread, 20_000)).length).toBeLessThan(
      1.5 * JSON.stringify(watched(spread, 1000)).length,
    );
  });
});

/** An approach that is quiet from the beginning: readings every 2 s. */
const approach = (options: Partial<SettlingOptions>, until: number, tail = 0): SettlingState => {
  let state = createSettling({ ...defaultSettling, target: 0.1, setPoint: 100, ...options });
  for (let time = 0; time <= until && !state.ready; time += 2) {
    const noise = 0.002 * Math.sin(time * 12.9898) + 0.002 * Math.sin(time * 78.233);
    const difference = 0.05 + tail * Math.exp(-time / 600) + noise;
    state = observeSource(state, time, 100);
    state = observe(state, { time, reference: 100, item: 100 + difference });
  }
  return state;
};
const readyAt = ({ readySince, ready, ruleWatch }: SettlingState) => (ready ? (ruleWatch?.now ?? readySince) : null);

describe("who binds", () => {
  const soak = rules({ soak: 900 });

  it("both: the rule makes a quiet approach wait, and a rule that is met does not hurry ours", () => {
    const own = approach({}, 2000);
    expect(own.ready).toBe(true);
    expect(readyAt(approach({ rules: soak, judgement: "both" }, 2000))).toBeGreaterThanOrEqual(900);
    const short = rules({ soak: 60 });
    const hurried = approach({ rules: short, judgement: "both" }, 400, 1.5);
    expect(hurried.ready).toBe(false);
    expect(hurried.latest!.inTheWay[0]!.term).not.toBe("rule");
  });

  it("the rules alone: they bind, and what our own judgement still misses is kept with the decision", () => {
    const state = approach({ rules: rules({ soak: 300 }), judgement: "rules" }, 2000, 1.5);
    expect(state.ready).toBe(true);
    expect(state.ownReady).toBe(false);
    expect(state.latest!.remainder).toBeGreaterThan(0.1);
  });

  it("says that a rule is in the way where nothing else is", () => {
    const state = approach({ rules: soak, judgement: "both" }, 700);
    expect(state.latest!.inTheWay).toEqual([{ term: "rule", share: 1 }]);
  });
});
