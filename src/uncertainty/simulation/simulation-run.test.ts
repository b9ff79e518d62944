import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { normalCdf, normalQuantile, seededGenerator } from "#numerics";
import { simulate } from "./simulate.ts";
import { SimulationRun, runTrials } from "./simulation-run.ts";
import { mergeSorted, Sorter } from "./sort-values.ts";
import { summarise } from "./summarise.ts";
import { numericalTolerance } from "./numerical-tolerance.ts";
import { prepareTrials, trialsInBlock } from "./trials.ts";
import { validatePropagation } from "./validate-propagation.ts";

const seed = 79;
const normal = [{ name: "x", u: 1 }];
const identity = (x: Float64Array): number => x[0]!;

describe("trials in blocks [U17]", () => {
  it("are the same whoever works out which block first", () => {
    const make = () => unwrap(prepareTrials(identity, normal, { seed }));
    const [one, other] = [make(), make()];
    const forward = [0, 1, 2].map((index) => one.block(index, trialsInBlock));
    const backward = [2, 1, 0].map((index) => other.block(index, trialsInBlock)).reverse();
    expect(backward).toEqual(forward);
    expect(new Set(forward.map((block) => block[0])).size).toBe(3);
  });

  it("give the same result through threads of one's own, whole or in part", () => {
    const settings = { trials: 25_000, seed };
    const trials = unwrap(prepareTrials(identity, normal, { seed }));
    const run = unwrap(SimulationRun.begin(settings));
    expect([0, 1, 2, 3].map((index) => run.countOf(index))).toEqual([10_000, 10_000, 5_000, 0]);
    expect(run.progress).toEqual({ done: 0, of: 25_000 });
    const result = unwrap(runTrials(run, trials));
    expect(run.progress).toEqual({ done: 25_000, of: 25_000 });
    expect(result).toEqual(unwrap(simulate(identity, normal, settings)));
    expect(unwrap(simulate(identity, normal, { ...settings, seed: 80 })).u).not.toBe(result.u);
  });

  it("of an input do not change when another is added", () => {
    const two = [...normal, { name: "y", u: 5 }];
    const settings = { trials: 5000, seed };
    expect(unwrap(simulate(identity, two, settings))).toEqual(unwrap(simulate(identity, normal, settings)));
  });

  it("a model of blocks and one of single trials agree to the digit", () => {
    const two = [...normal, { name: "y", u: 5, distribution: "rectangular" as const }];
    const block = {
      fill: (columns: readonly Float64Array[], into: Float64Array): void => {
        for (let trial = 0; trial < into.length; trial += 1) into[trial] = columns[0]![trial]! * columns[1]![trial]!;
      },
    };
    const settings = { trials: 12_000, seed };
    expect(unwrap(simulate(block, two, settings))).toEqual(unwrap(simulate((x) => x[0]! * x[1]!, two, settings)));
  });
});

describe("the number of trials, JCGM 101:2008, 7.9 [U18]", () => {
  it("stops when twice the deviations of all four results are within δ, and no sooner", () => {
    const result = unwrap(simulate(identity, normal, { trials: "adaptive", seed, level: 0.95 }));
    expect(result.stable).toBe(true);
    // u = 1.0: δ = 0.05 with two digits. The ends are then known to about 0.025.
    expect(Math.abs(result.interval[1] - normalQuantile(0.975))).toBeLessThan(0.05);
    const coarse = unwrap(simulate(identity, normal, { trials: "adaptive", seed, level: 0.95, digits: 1 }));
    expect(coarse.trials).toBeLessThanOrEqual(result.trials);
    // A u of 0.99 has a δ ten times as small as one of 1.01.
    const fine = unwrap(simulate(identity, [{ name: "x", u: 0.97 }], { trials: "adaptive", seed, level: 0.95 }));
    expect(fine.trials).toBeGreaterThan(result.trials);
    expect(fine.trials).toBeLessThan(10_000_000);
    expect(fine.stable).toBe(true);
  });

  it("makes its rounds of at least 100/(1 − p) trials", () => {
    const result = unwrap(simulate(identity, normal, { trials: "adaptive", seed, level: 0.999 }));
    expect(result.trials % 100_000).toBe(0);
    expect(result.trials).toBeGreaterThanOrEqual(1_000_000);
  });

  it.each([
    [0.00035, 2, 0.000005],
    [0.294, 2, 0.005],
    [0.0996, 2, 0.005],
    [1.04, 1, 0.5],
    [164, 2, 5],
    [9.96, 1, 5],
    [0, 2, 0],
  ])("δ of u = %d with %d digits is %d (7.9.2)", (u, digits, delta) => {
    expect(numericalTolerance(u, digits)).toBeCloseTo(delta, 12);
  });
});

describe("what sorted trials say, JCGM 101:2008, 7.7 [U16]", () => {
  it("the symmetric interval has (M − q)/2 trials below it, counted from 1", () => {
    const sorted = Float64Array.from({ length: 100 }, (_, index) => index + 1);
    // M = 100, p = 0.95: q = 95, r = 3: y(3) to y(98).
    expect(summarise(sorted, 0.95).interval).toEqual([3, 98]);
    // p = 0.9: q = 90, r = 5.
    expect(summarise(sorted, 0.9).interval).toEqual([5, 95]);
    expect(summarise(sorted, 0.95)).toMatchObject({ mean: 50.5, shortest: [1, 96] });
  });

  it("the shortest interval of an exponential quantity begins at 0", () => {
    const result = unwrap(simulate((x) => -Math.log(normalCdf(x[0]!)), normal, { trials: 100_000, seed, level: 0.95 }));
    expect(result.shortest[0]).toBeLessThan(0.002);
    expect(Math.abs(result.shortest[1] - -Math.log(0.05))).toBeLessThan(0.05);
    expect(result.shortest[1] - result.shortest[0]).toBeLessThan(result.interval[1] - result.interval[0]);
  });

  it("the deviations of the ends are what the ends of many simulations show", () => {
    const ends = Array.from({ length: 60 }, (_, index) =>
      unwrap(simulate(identity, normal, { trials: 10_000, seed: index, level: 0.95 })),
    );
    const high = ends.map(({ interval }) => interval[1]);
    const mean = high.reduce((sum, value) => sum + value, 0) / high.length;
    const spread = Math.sqrt(high.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (high.length - 1));
    const said = ends.reduce((sum, { endDeviations }) => sum + endDeviations[1], 0) / ends.length;
    expect(said / spread).toBeGreaterThan(0.75);
    expect(said / spread).toBeLessThan(1.33);
  });

  it("the share within limits is the conformance probability [U12]", () => {
    const limits = { lower: -1, upper: 2 };
    const result = unwrap(simulate(identity, normal, { trials: 200_000, seed, limits }));
    expect(Math.abs(result.conformanceProbability! - (normalCdf(2) - normalCdf(-1)))).toBeLessThan(0.004);
    expect(simulate(identity, normal, { trials: 5000, seed, limits: { lower: 2, upper: 1 } }).ok).toBe(false);
  });
});

describe("sorting", () => {
  it(`is the ordinary sort, whatever the values, seed ${seed}`, () => {
    const sorter = new Sorter();
    const odd = fc.oneof(
      fc.double(),
      fc.constantFrom(0, 1, Number.NaN, Number.POSITIVE_INFINITY, 1e308, -1e308, 5e-324),
    );
    fc.assert(
      fc.property(fc.array(odd, { maxLength: 300 }), (list) => {
        const values = Float64Array.from(list, (value) => value + 0);
        const wanted = values.slice().sort();
        sorter.sort(values);
        expect(values).toEqual(wanted);
      }),
      { seed },
    );
  });

  it("of smooth, crowded and heavy-tailed values", () => {
    const random = seededGenerator(seed);
    const sorter = new Sorter();
    for (const make of [
      () => random.normal(),
      () => Math.round(3 * random.normal()),
      () => random.normal() / random.normal(),
      () => 1e16 + random.next(),
    ]) {
      const values = Float64Array.from({ length: 10_000 }, make);
      const wanted = values.slice().sort();
      sorter.sort(values);
      expect(values).toEqual(wanted);
    }
  });

  it("merges sorted blocks of any length, in any order", () => {
    const random = seededGenerator(seed);
    const blocks = [10_000, 10_000, 17, 10_000, 1, 4000].map((length) =>
      Float64Array.from({ length }, () => random.normal()).sort(),
    );
    const wanted = Float64Array.from(blocks.flatMap((block) => [...block])).sort();
    expect(mergeSorted(blocks)).toEqual(wanted);
    expect(mergeSorted(blocks.toReversed())).toEqual(wanted);
    expect(mergeSorted([])).toEqual(new Float64Array(0));
  });
});

describe("validation of propagation, JCGM 101:2008, clause 8 [U22]", () => {
  const known = { endDeviations: [0.0001, 0.0001] as const };

  it.each([
    [[-0.602, 0.601], known, "agrees"],
    [[-0.6049, 0.5951], known, "agrees"],
    [[-0.606, 0.6], known, "disagrees"],
    [[-0.6, 0.6062], known, "disagrees"],
    [[-0.6, 0.6], { endDeviations: [0.004, 0.004] as const }, "open"],
    [[-0.61, 0.6], { endDeviations: [0.004, 0.004] as const }, "open"],
    [[-0.614, 0.6], { endDeviations: [0.004, 0.004] as const }, "disagrees"],
  ] as const)("y ± U = ±0.6, u = 0.3, against %j: %j is %s", (interval, { endDeviations }, agreement) => {
    const check = validatePropagation({ value: 0, u: 0.3, U: 0.6 }, { interval, endDeviations });
    expect(check).toMatchObject({ delta: 0.005, interval: [-0.6, 0.6], agreement });
    expect(check.dLow).toBeCloseTo(Math.abs(-0.6 - interval[0]), 12);
    expect(check.differences[1]).toBeCloseTo(0.6 - interval[1], 12);
  });

  it("of a linear model of normal inputs agrees, given enough trials", () => {
    const simulated = unwrap(simulate(identity, normal, { trials: 1_000_000, seed, level: 0.9545 }));
    expect(validatePropagation({ value: 0, u: 1, U: 2 }, simulated).agreement).toBe("agrees");
    const few = unwrap(simulate(identity, [{ name: "x", u: 0.97 }], { trials: 5000, seed, level: 0.9545 }));
    expect(validatePropagation({ value: 0, u: 0.97, U: 1.94 }, few).agreement).toBe("open");
  });
});
