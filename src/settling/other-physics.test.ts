import { describe, expect, it } from "vitest";
import { otherApproachOf, otherKinds } from "./other-physics.test-support.ts";
import { decideRecorded } from "./recorded.ts";

/** Seeds of approaches; more of them by hand: `node scripts/settling-study.ts 200`. */
const seeds = Array.from({ length: 12 }, (_, index) => 1000 + index);

const decided = otherKinds.map((kind) => ({
  name: kind.name,
  looks: seeds.map((seed) => {
    const approach = otherApproachOf(kind, seed);
    const { times, reference, item, target, resolution, setPoint, truth } = approach;
    const look = decideRecorded({ time: times, reference, item }, { target, resolution, setPoint });
    return { look, target, error: look.settled ? Math.abs(look.estimate - truth) : null };
  }),
}));

describe("recorded approaches on a physics that nothing here was chosen on", () => {
  it.each(decided)("$name: settled, and within the target [S1]", ({ looks }) => {
    for (const { look, target, error } of looks) {
      expect(look.settled).toBe(true);
      expect(error).toBeLessThanOrEqual(target);
    }
  });

  it("the stated interval holds in 95 % of all, and in most of each kind [S2]", () => {
    const held = ({ looks }: (typeof decided)[number]) =>
      looks.filter(({ look, error }) => look.settled && error !== null && error <= look.U).length;
    const all = decided.reduce((sum, kind) => sum + held(kind), 0);
    expect(all / (decided.length * seeds.length)).toBeGreaterThanOrEqual(0.95);
    expect(decided.filter((kind) => held(kind) < 9).map(({ name }) => name)).toEqual([]);
  });

  it("is read causally: what comes after the decision changes nothing, and neither does what is missing", () => {
    const approach = otherApproachOf(otherKinds[1]!, 7);
    const { times, reference, item, target, setPoint } = approach;
    const asked = { target, setPoint };
    const whole = decideRecorded({ time: times, reference, item }, asked);
    expect(whole).toMatchObject({ settled: true });
    const at = whole.settled ? whole.at : 0;
    const spoilt = item.map((value, index) => (times[index]! > at ? value + 50 : value));
    expect(decideRecorded({ time: times, reference, item: spoilt }, asked)).toEqual(whole);
    const cut = times.findIndex((time) => time > at - 60);
    const early = decideRecorded(
      { time: times.slice(0, cut), reference: reference.slice(0, cut), item: item.slice(0, cut) },
      asked,
    );
    expect(early).toMatchObject({ settled: false });
    if (early.settled) return;
    expect(early.forecast.interval[0]).toBeLessThanOrEqual(early.forecast.at);
    expect(early.forecast.interval[1]).toBeGreaterThanOrEqual(early.forecast.at);
  });
});
