import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { upkeepDocumentSchema, type UpkeepDocumentInput } from "../document/document.ts";
import type { SelfHeatingTest } from "../document/self-heating.ts";
import {
  callendar,
  displayThermometer,
  ohmsAt,
  shareOf,
  standardPlatinumEntry,
} from "../planted-bench.test-support.ts";
import { evaluateSelfHeating } from "./self-heating.ts";

type Input = Extract<UpkeepDocumentInput, { kind: "self-heating" }>;

const parsed = (visits: Input["visits"], over: Partial<Input> = {}): SelfHeatingTest => {
  const document = upkeepDocumentSchema.parse({
    upkeep: 1,
    kind: "self-heating",
    at: "2026-11-25T08:00:00Z",
    by: "Tobin Ashgrove",
    reference: standardPlatinumEntry(),
    medium: "well of the dry block",
    temperature: 0,
    current: 1,
    visits,
    ...over,
  });
  if (document.kind !== "self-heating") throw new Error("another kind of document");
  return document;
};

const flat = (start: number, ohms: number) => ({
  time: [start, start + 5, start + 10, start + 15],
  signal: [ohms, ohms + 1e-6, ohms - 1e-6, ohms],
});

const inTurn = (values: readonly (readonly [number, number])[]): Input["visits"] =>
  values.map(([current, ohms], index) => ({ current, readings: flat(index * 300, ohms) }));

describe("a two-current test", () => {
  it("[K14] worked by hand: √2 mA gives R(0) = 2·R₁ − R₂", () => {
    // 100.0040 Ω at 1 mA and 100.0080 Ω at √2 mA: R(0) = 100.0000 Ω, and 0.0040 Ω is 10.23 mK at 0.39083 Ω/K.
    const root2 = Math.SQRT2;
    const result = unwrap(
      evaluateSelfHeating(
        parsed(
          inTurn([
            [1, 100.004],
            [root2, 100.008],
            [1, 100.004],
          ]),
        ),
      ),
    );
    expect(result.zeroPower.value).toBeCloseTo(100, 6);
    expect(result.heating.value).toBeCloseTo(0.004 / 0.39083, 5);
    expect(result.atCurrent).toBeCloseTo(100.004, 6);
  });

  it("[K14] any two currents: 0.5 mA and 2 mA", () => {
    // 4 mΩ/mA²: 100.001 and 100.016 Ω; R(0) = 100.001 − 0.25·0.015/3.75 = 100.000 Ω.
    const result = unwrap(
      evaluateSelfHeating(
        parsed(
          inTurn([
            [0.5, 100.001],
            [2, 100.016],
            [0.5, 100.001],
          ]),
        ),
      ),
    );
    expect(result.zeroPower.value).toBeCloseTo(100, 6);
    expect(result.atCurrent).toBeCloseTo(100.004, 6);
    // 10.23 mK for 0.1 mW.
    expect(result.coefficient).toBeCloseTo(0.1023, 3);
  });

  it("[K15] recovers the planted heating in its stated uncertainty, with the bath drifting", () => {
    const trials = 240;
    const covered = shareOf(trials, (seed) => {
      const generator = seededGenerator(seed).fork("two currents");
      const coefficient = 0.02 + 0.1 * generator.next();
      const drift = (2 * generator.next() - 1) * (0.02 / 3600);
      const currents = [1, Math.SQRT2, 1, Math.SQRT2, 1];
      const visits = currents.map((current, index) => {
        const time = Array.from({ length: 40 }, (_, at) => index * 300 + at * 3);
        const signal = time.map((at) => {
          const bath = 60 + drift * at;
          const power = (current / 1000) ** 2 * ohmsAt(callendar, bath) * 1000;
          return ohmsAt(callendar, bath + coefficient * power) + 0.0002 * generator.normal();
        });
        return { current, readings: { time, signal } };
      });
      const { heating } = unwrap(evaluateSelfHeating(parsed(visits, { temperature: 60 })));
      const truth = coefficient * 0.001 * ohmsAt(callendar, 60);
      return Math.abs(heating.value - truth) <= heating.U;
    });
    expect(covered).toBeGreaterThanOrEqual(0.93);
  });

  it("[K15] takes the source's movement off by a thermometer that stays", () => {
    const slope = ohmsAt(callendar, 60.5) - ohmsAt(callendar, 59.5);
    const moves = [0, 0.04, -0.03];
    const visits = [1, Math.SQRT2, 1].map((current, index) => ({
      current,
      readings: {
        time: [0, 5, 10].map((at) => index * 300 + at),
        signal: [0, 0, 0].map(() => ohmsAt(callendar, 60) + slope * moves[index]! + 0.004 * current ** 2),
        fixed: [0, 0, 0].map(() => 60 + moves[index]!),
      },
    }));
    const result = unwrap(
      evaluateSelfHeating(parsed(visits, { temperature: 60, fixed: displayThermometer("check-1") })),
    );
    expect(result.heating.value).toBeCloseTo(0.004 / slope, 4);
  });

  it("[K15] an uncertain ratio of the currents widens the heating", () => {
    const visits = inTurn([
      [1, 100.004],
      [Math.SQRT2, 100.008],
      [1, 100.004],
    ]);
    const exact = unwrap(evaluateSelfHeating(parsed(visits))).heating.u;
    const wide = unwrap(evaluateSelfHeating(parsed(visits, { currentAccuracy: 1 }))).heating.u;
    // 2·I₂²/(I₂² − I₁²) = 4, of 10.23 mK, 1 %/√3: 0.236 mK.
    expect(Math.sqrt(wide ** 2 - exact ** 2)).toBeCloseTo(0.000_236, 5);
  });

  it("[K16] counts all of it where the report does not say what it holds, and the difference where it does", () => {
    const visits = inTurn([
      [1, 100.004],
      [Math.SQRT2, 100.008],
      [1, 100.004],
    ]);
    const unknown = unwrap(evaluateSelfHeating(parsed(visits)));
    expect(unknown.figures[0]!.limit).toBe(0.011);
    expect(unknown.revision).toMatchObject({ kind: "reference", entry: { selfHeating: 0.011, revision: 2 } });
    const known = unwrap(evaluateSelfHeating(parsed(visits, { inCertificate: { value: 0.009, U: 0.0005 } })));
    expect(known.figures[0]!.limit).toBeCloseTo(0.0018, 4);
    expect(known.revision?.entry).toMatchObject({
      evidence: { selfHeating: expect.stringContaining("two-current test") },
    });
  });

  it("proposes nothing where more current cools: that cannot be", () => {
    const result = unwrap(
      evaluateSelfHeating(
        parsed(
          inTurn([
            [1, 100.004],
            [Math.SQRT2, 100.001],
            [1, 100.004],
          ]),
        ),
      ),
    );
    expect(result.revision).toBeNull();
    expect(result.verdict).toBe("inconclusive");
  });

  it("[K14] refuses one current, three currents, and no return to the first", () => {
    for (const visits of [
      inTurn([
        [1, 100],
        [1, 100],
      ]),
      inTurn([
        [1, 100],
        [2, 100.01],
        [3, 100.03],
        [1, 100],
      ]),
      inTurn([
        [1, 100],
        [2, 100.01],
      ]),
    ])
      expect(evaluateSelfHeating(parsed(visits))).toMatchObject({ ok: false, fault: { code: "upkeep.incomplete" } });
  });
});
