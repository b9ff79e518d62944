import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { upkeepDocumentSchema, type UpkeepDocumentInput } from "../document/document.ts";
import type { PullTest } from "../document/pull-test.ts";
import {
  displayThermometer,
  plantedBench,
  readStay,
  shareOf,
  standardPlatinumEntry,
  type Planted,
} from "../planted-bench.test-support.ts";
import { evaluatePullTest } from "./pull-test.ts";

type Input = Extract<UpkeepDocumentInput, { kind: "pull-test" }>;

const parsed = (visits: Input["visits"], over: Partial<Input> = {}): PullTest => {
  const document = upkeepDocumentSchema.parse({
    upkeep: 1,
    kind: "pull-test",
    at: "2026-11-25T08:00:00Z",
    by: "Ines Halloran",
    moved: displayThermometer("prt-7"),
    fixed: displayThermometer("check-1"),
    temperature: 300,
    ambient: 23,
    diameter: 6,
    visits,
    ...over,
  });
  if (document.kind !== "pull-test") throw new Error("another kind of document");
  return document;
};

const depths = [150, 130, 110, 130, 150];

/** A pull test on a planted stem: share lost at depth L is stem·exp(−L/D). */
const pulled = (planted: Planted, seed: number, at: readonly number[] = depths): PullTest => {
  const generator = seededGenerator(seed).fork("pull");
  return parsed(
    at.map((depth, index) => ({
      depth,
      readings: (({ time, fixed, moved }) => ({ time, fixed, moved }))(
        readStay(planted, { start: index * 900, length: 300, every: 5, depth }, generator),
      ),
    })),
  );
};

const stemOf = (planted: Planted, depth: number) =>
  planted.moved.stem * Math.exp(-depth / planted.moved.length) * (planted.ambient - planted.temperature);

const planted = (seed: number): Planted =>
  plantedBench(seed, (generator) => ({
    temperature: 300,
    placing: 0.001,
    moved: { error: 0.03, drift: 0.002 / 3600, stem: 0.6 + 0.4 * generator.next(), length: 16 + 10 * generator.next() },
  }));

/** Readings that say a value and hardly scatter. */
const flat = (start: number, difference: number) => ({
  time: [start, start + 10, start + 20, start + 30],
  fixed: [300, 300, 300, 300],
  moved: [300 + difference, 300 + difference + 0.0002, 300 + difference - 0.0002, 300 + difference],
});

const inTurn = (values: readonly (readonly [number, number])[]): Input["visits"] =>
  values.map(([depth, difference], index) => ({ depth, readings: flat(index * 600, difference) }));

describe("a pull test", () => {
  it("[K10] worked by hand: changes of −0.20 K and −1.2589 K over twice 20 mm are 12 mm and −0.0466 K", () => {
    // exp(20/12) = 5.29449, so e = −0.20/(5.29449 − 1) = −0.04657 K, and over 40 mm the change is e·(exp(40/12) − 1) = −1.2589 K.
    const result = unwrap(
      evaluatePullTest(
        parsed(
          inTurn([
            [120, 0],
            [100, -0.2],
            [80, -1.2589],
            [100, -0.2],
            [120, 0],
          ]),
        ),
      ),
    );
    expect(result.outcome).toBe("determined");
    expect(result.figures[0]!.value).toBeCloseTo(-0.0466, 3);
    expect(result.length!.value).toBeCloseTo(12, 1);
    expect(result.share).toBeCloseTo(0.0466 / 277, 5);
  });

  it("[K10] recovers the planted error at full depth in its stated interval", () => {
    const trials = 220;
    let determined = 0;
    const covered = shareOf(trials, (seed) => {
      const bench = planted(seed);
      const result = unwrap(evaluatePullTest(pulled(bench, seed)));
      if (result.outcome !== "determined") return true;
      determined += 1;
      return Math.abs(result.figures[0]!.value - stemOf(bench, 150)) <= result.figures[0]!.U;
    });
    expect(covered).toBeGreaterThanOrEqual(0.93);
    expect(determined / trials).toBeGreaterThan(0.9);
  });

  it("[K11] the source's own profile is taken off first", () => {
    const profile = [
      { height: 20, difference: -0.05 },
      { height: 40, difference: -0.1 },
    ];
    const visits = inTurn([
      [120, 0],
      [100, -0.25],
      [80, -1.3589],
      [100, -0.25],
      [120, 0],
    ]);
    const result = unwrap(evaluatePullTest(parsed(visits, { profile })));
    expect(result.figures[0]!.value).toBeCloseTo(-0.0466, 3);
    expect(result.withdrawals.map(({ change }) => Number(change.toFixed(3)))).toEqual([-0.2, -1.259]);
  });

  it("[K12] says that the noise drowns it, and gives no figure", () => {
    const bench = { ...planted(3), noise: 0.3, placing: 0.15 };
    const outcomes = Array.from({ length: 20 }, (_, index) => unwrap(evaluatePullTest(pulled(bench, index + 1))));
    const lost = outcomes.filter(({ outcome }) => outcome === "drowned");
    expect(lost.length).toBeGreaterThan(0);
    for (const result of lost) {
      expect(result.figures).toEqual([]);
      expect(result.revision).toBeNull();
      expect(result.verdict).toBe("inconclusive");
    }
  });

  it("[K12] never states a figure that its own interval misses by far when the noise is large", () => {
    const covered = shareOf(200, (seed) => {
      const bench = { ...planted(seed), noise: 0.1, placing: 0.03 };
      const [figure] = unwrap(evaluatePullTest({ ...pulled(bench, seed), placing: 0.03 })).figures;
      return figure === undefined || Math.abs(figure.value - stemOf(bench, 150)) <= figure.U;
    });
    expect(covered).toBeGreaterThanOrEqual(0.93);
  });

  it("[K12] refuses changes that bend the wrong way: nothing of them is an exponential", () => {
    const visits = inTurn([
      [120, 0],
      [100, -0.2],
      [80, -0.25],
      [100, -0.2],
      [120, 0],
    ]);
    const result = unwrap(evaluatePullTest(parsed(visits)));
    expect(result.outcome).toBe("misfit");
    expect(result.figures).toEqual([]);
    expect(result.statement).toContain("no exponential");
  });

  it("[K12] refuses four depths of which one does not fit", () => {
    const e = -0.05;
    const at = (withdrawn: number) => e * Math.expm1(withdrawn / 20);
    const visits = inTurn([
      [150, 0],
      [130, at(20)],
      [110, at(40) + 0.1],
      [90, at(60)],
      [110, at(40) + 0.1],
      [130, at(20)],
      [150, 0],
    ]);
    expect(unwrap(evaluatePullTest(parsed(visits))).outcome).toBe("misfit");
  });

  it("[K13] where nothing is seen the limit is what the noise may hide, from the diameter", () => {
    const bench = { ...planted(5), moved: { error: 0.03, drift: 0, stem: 0, length: 20 } };
    const result = unwrap(evaluatePullTest(pulled(bench, 5)));
    expect(result.outcome).toBe("not-seen");
    const last = result.withdrawals.at(-1)!;
    const hidden = (Math.abs(last.change) + last.U) / Math.expm1(40 / 24);
    expect(result.figures[0]!.limit).toBeGreaterThanOrEqual(hidden);
    expect(result.figures[0]!.limit).toBeLessThan(hidden * 1.1);
    const { diameter: _unknown, ...without } = pulled(bench, 5);
    expect(unwrap(evaluatePullTest(without)).figures).toEqual([]);
  });

  it("[K10] needs three depths, and a temperature away from the surroundings", () => {
    const two = evaluatePullTest(
      parsed(
        inTurn([
          [120, 0],
          [100, -0.2],
          [120, 0],
        ]),
      ),
    );
    expect(two.ok ? "" : two.fault.message).toContain("three depths");
    const near = evaluatePullTest(
      parsed(
        inTurn([
          [120, 0],
          [100, -0.2],
          [80, -1],
          [100, -0.2],
          [120, 0],
        ]),
        { temperature: 30 },
      ),
    );
    expect(near.ok ? "" : near.fault.message).toContain("surroundings");
  });

  it("[K13] becomes the reference's next revision, growing with the distance from the surroundings", () => {
    const document = { ...pulled(planted(7), 7), reference: parsedReference() };
    const result = unwrap(evaluatePullTest(document));
    if (result.revision?.kind !== "reference") throw new Error("no revision of the reference");
    const rows = result.revision.entry.conduction;
    if (typeof rows !== "object") throw new Error("no table");
    expect(rows.map(({ temperature }) => temperature)).toEqual([-40, 23, 300, 420]);
    expect(rows[1]!.value).toBe(0);
    expect(rows[3]!.value / rows[2]!.value).toBeCloseTo((420 - 23) / (300 - 23), 1);
    expect(result.revision.entry.evidence?.conduction).toContain("pull test of 2026-11-25");
  });

  it("says when the error has the wrong sign for conduction, and proposes nothing", () => {
    const visits = inTurn([
      [120, 0],
      [100, 0.2],
      [80, 1.2589],
      [100, 0.2],
      [120, 0],
    ]);
    const result = unwrap(evaluatePullTest(parsed(visits)));
    expect(result.verdict).toBe("inconclusive");
    expect(result.warnings.join(" ")).toContain("wrong way");
  });
});

const parsedReference = () => {
  const document = upkeepDocumentSchema.parse({
    ...parsed(
      inTurn([
        [120, 0],
        [100, 0],
        [80, 0],
      ]),
    ),
    reference: standardPlatinumEntry(),
  });
  if (document.kind !== "pull-test" || document.reference === undefined) throw new Error("no reference");
  return document.reference;
};
