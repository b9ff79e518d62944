import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { seededGenerator } from "#numerics";
import { upkeepDocumentSchema, type UpkeepDocumentInput } from "../document/document.ts";
import type { ReferenceCheck } from "../document/reference-check.ts";
import { callendar, ohmsAt, shareOf, standardPlatinumEntry } from "../planted-bench.test-support.ts";
import { evaluateReferenceCheck } from "./evaluate-check.ts";

type Input = Extract<UpkeepDocumentInput, { kind: "reference-check" }>;

const parsed = (over: Partial<Input>): ReferenceCheck => {
  const document = upkeepDocumentSchema.parse({
    upkeep: 1,
    kind: "reference-check",
    at: "2026-07-10T08:00:00Z",
    by: "Maren Oakshott",
    reference: standardPlatinumEntry(),
    point: "ice-point",
    readings: series(0, 1),
    ...over,
  });
  if (document.kind !== "reference-check") throw new Error("another kind of document");
  return document;
};

/**
 * A thermometer put into ice from the room, with a wire that has become `shift` K longer there: 15 minutes, every 5 s. `ice`: by
 * how much the ice itself is off.
 */
const series = (shift: number, seed: number, { ice = 0, noise = 0.0005, length = 900, lag = 25 } = {}) => {
  const generator = seededGenerator(seed).fork("ice");
  const share = (shift * 0.39083) / 100;
  const time = Array.from({ length: Math.floor(length / 5) + 1 }, (_, index) => index * 5);
  const signal = time.map(
    (at) => ohmsAt(callendar, ice + 23 * Math.exp(-at / lag)) * (1 + share) + 0.39083 * noise * generator.normal(),
  );
  return { time, signal };
};

/** Earlier checks a week apart from 2026-01-17 on, K off the kit entry's value. */
const earlier = (values: readonly number[], from = 17): Input["earlier"] =>
  values.map((value, index) => ({
    at: `2026-${String(1 + Math.floor((from + index * 7) / 28)).padStart(2, "0")}-${String(1 + ((from + index * 7) % 28)).padStart(2, "0")}T08:00:00Z`,
    resistance: 100 + value * 0.39083,
    u: 0.003,
  }));

const quiet = [0.001, -0.001, 0.002, 0, -0.002, 0.001, 0, 0.002, -0.001, 0.001];

describe("a timed check in ice", () => {
  it("[K17] finds the planted shift within its stated uncertainty", () => {
    const covered = shareOf(220, (seed) => {
      const generator = seededGenerator(seed).fork("planted");
      const planted = 0.04 * (2 * generator.next() - 1);
      const ice = 0.005 * (2 * generator.next() - 1);
      const result = unwrap(evaluateReferenceCheck(parsed({ readings: series(planted, seed, { ice }) })));
      return result.shift !== null && Math.abs(result.shift.value - planted) <= result.shift.U;
    });
    expect(covered).toBeGreaterThanOrEqual(0.93);
  });

  it("[K17] says to go on waiting where the readings have not come to rest, and nothing of the reference", () => {
    const result = unwrap(evaluateReferenceCheck(parsed({ readings: series(0.01, 1, { length: 240, lag: 120 }) })));
    expect(result).toMatchObject({ verdict: "repeat", shift: null, revision: null, figures: [] });
    expect(result.statement).toContain("more minutes");
  });

  it("[K17] a reading every half minute over a quarter of an hour is enough when typed by hand", () => {
    const { time, signal } = series(0.01, 1, { noise: 0.0003 });
    const typed = { time: time.filter((at) => at % 30 === 0), signal: signal.filter((_, index) => index % 6 === 0) };
    expect(unwrap(evaluateReferenceCheck(parsed({ readings: typed }))).shift?.value).toBeCloseTo(0.01, 2);
  });

  it("the triple point of water is 0.01 °C and much narrower", () => {
    const flat = { time: series(0, 1).time, signal: series(0, 1).time.map(() => ohmsAt(callendar, 0.01)) };
    const water = unwrap(evaluateReferenceCheck(parsed({ point: "water-triple-point", readings: flat })));
    const ice = unwrap(evaluateReferenceCheck(parsed({ readings: series(0, 1) })));
    expect(water.nominal.temperature).toBe(0.01);
    expect(water.shift!.value).toBeCloseTo(0, 6);
    expect(water.shift!.U).toBeLessThan(ice.shift!.U);
  });

  it("the readout's own accuracy counts where it is another than the calibration's", () => {
    const readout = {
      id: "readout-1",
      description: "Readout",
      serial: "CV-0301",
      calibration: {
        certificate: "CVC-1",
        laboratory: "Calder Vale Calibration",
        date: "2026-01-01",
        due: "2027-01-01",
      },
      accuracy: [{ unit: "Ω" as const, absolute: 0.005 }],
    };
    const wide = unwrap(evaluateReferenceCheck(parsed({ readout })));
    const plain = unwrap(evaluateReferenceCheck(parsed({})));
    // ±5 mΩ are ±12.8 mK, 7.4 mK as a standard uncertainty.
    expect(Math.sqrt(wide.shift!.u ** 2 - plain.shift!.u ** 2)).toBeCloseTo(0.005 / 0.39083 / Math.sqrt(3), 5);
    const short = evaluateReferenceCheck(
      parsed({ readout: { ...readout, accuracy: [{ unit: "Ω" as const, absolute: 0.005, upTo: 50 }] } }),
    );
    expect(short).toMatchObject({ ok: false, fault: { code: "kit.out-of-range" } });
  });

  it("refuses what is no platinum thermometer", () => {
    const reference = {
      ...standardPlatinumEntry(),
      sensor: { kind: "thermocouple" as const, type: "S" as const },
      unit: "mV" as const,
    };
    expect(evaluateReferenceCheck(parsed({ reference }))).toMatchObject({
      ok: false,
      fault: { code: "thermometry.unsupported" },
    });
  });
});

describe("the verdict", () => {
  // Half a year after the calibration the budget holds ±0.02 · 0.4956 = ±9.9 mK of drift. At 420 °C a shift in ice counts 2.9 times.
  const check = (shift: number, history: readonly number[] = quiet, over: Partial<Input> = {}) =>
    unwrap(evaluateReferenceCheck(parsed({ readings: series(shift, 3), earlier: earlier(history), ...over })));

  it("[K22] go on: the change is within the allowance at every temperature and the chart is quiet", () => {
    const result = check(0.001);
    expect(result.verdict).toBe("go-on");
    expect(result.allowance!.limit).toBeCloseTo(0.02 * (181 / 365.2425), 6);
  });

  it("[K22] out of service: beyond the allowance by more than the check's own U", () => {
    const result = check(0.03);
    expect(result.verdict).toBe("out-of-service");
    expect(result.allowance!.worst.temperature).toBe(420);
    expect(result.allowance!.worst.change).toBeCloseTo((0.03 - 0.001) * 2.9, 2);
    expect(result.statement).toContain("no longer holds");
  });

  it("[K22] repeat: beyond the allowance, though not beyond doubt", () => {
    expect(check(0.006, []).verdict).toBe("repeat");
  });

  it("[K23] repeat where the chart's action limit is crossed for the first time, out of service when a repeat confirms it", () => {
    const steady = quiet.map((value) => value / 4);
    const generous = { reference: { ...standardPlatinumEntry(), driftPerYear: 0.5 } };
    const once = check(0.006, steady, generous);
    expect(once.verdict).toBe("repeat");
    const history = [...earlier(steady)!, { at: "2026-07-09T08:00:00Z", resistance: 100 + 0.006 * 0.39083, u: 0.003 }];
    const twice = unwrap(evaluateReferenceCheck(parsed({ ...generous, readings: series(0.006, 4), earlier: history })));
    expect(twice.verdict).toBe("out-of-service");
    const longAgo = [...history.slice(0, -1), { ...history.at(-1)!, at: "2026-06-20T08:00:00Z" }];
    expect(
      unwrap(evaluateReferenceCheck(parsed({ ...generous, readings: series(0.006, 4), earlier: longAgo }))).verdict,
    ).toBe("repeat");
  });

  it("[K19] counts the change from the first check after calibration, or from the certificate with its U", () => {
    const moved = quiet.map((value) => value + 0.02);
    expect(check(0.02, moved).allowance!.worst.change).toBeCloseTo(-0.001 * 2.9, 2);
    const alone = check(0.001, []);
    expect(alone.statement).toContain("its certificate CVC-2026-0107");
    expect(alone.allowance!.worst.U).toBeGreaterThan(check(0.001).allowance!.worst.U);
    const before = earlier([0.02, 0.02])!.map((each, index) => ({ ...each, at: `2025-12-2${index}T08:00:00Z` }));
    expect(check(0.001, [], { earlier: before }).statement).toContain("its certificate");
  });

  it("[K19] counts from the first check after a new resistance was taken over", () => {
    // R(0) was taken over on 2026-07-01 as it had become; since then nothing has changed.
    const moved = quiet.map((value) => value - 0.03);
    const after = { at: "2026-07-01T08:00:00Z", resistance: 100, u: 0.003 };
    const entry = standardPlatinumEntry();
    const history = [...earlier(moved)!.filter(({ at }) => at < after.at), after];
    const before = check(0, [], { earlier: history });
    expect(before.verdict).toBe("out-of-service");
    const reference = { ...entry, evidence: { sensor: "ice point of 2026-07-01, W held", sensorOn: "2026-07-01" } };
    const since = check(0, [], { reference, earlier: history });
    expect(since.statement).toContain("taken over, 2026-07-01");
    expect(Math.abs(since.allowance!.worst.change)).toBeLessThan(0.01);
    expect(since.verdict).not.toBe("out-of-service");
  });

  it("[K22] the chart's band is where the change reaches the allowance at the worst temperature", () => {
    const { allowance } = check(0.001);
    const [low, high] = allowance!.band;
    // At 420 °C a shift in ice counts 2.902 times: R(420)/(dR/dt) = 253.96/0.34232 over 255.87 (IEC 60751, by hand).
    expect((high - low) / 2).toBeCloseTo(allowance!.limit / (253.96 / 0.34232 / 255.87), 4);
    expect((high + low) / 2).toBeCloseTo(quiet[0]!, 6);
  });

  it("[K22] says when the allowance runs out", () => {
    const generous = { reference: { ...standardPlatinumEntry(), driftPerYear: 0.08 } };
    const result = check(0.0115, [], { ...generous, halfWidth: 0.0005 });
    expect(result.verdict).toBe("go-on");
    expect(result.warnings.join(" ")).toContain("% of the drift that the budget allows");
  });
});

describe("the revision after a check", () => {
  it("[K24] has the new R(0), W held, and says that W was not proved; none where no shift is seen", () => {
    const result = unwrap(evaluateReferenceCheck(parsed({ readings: series(0.03, 5) })));
    if (result.revision?.kind !== "reference") throw new Error("no revision");
    const { sensor } = result.revision.entry;
    if (sensor.kind !== "platinum" || sensor.equation !== "callendar-van-dusen") throw new Error("another sensor");
    expect(sensor.r0).toBeCloseTo(100 * (1 + (0.03 * 0.39083) / 100), 3);
    expect(sensor).toMatchObject({ a: 3.9083e-3, b: -5.775e-7 });
    expect(result.warnings.join(" ")).toContain("ratio W held");
    expect(unwrap(evaluateReferenceCheck(parsed({ readings: series(0, 5) }))).revision).toBeNull();
  });

  it("[K24] drops the report's check values, which belong to its own R(0)", () => {
    const entry = standardPlatinumEntry();
    const reference = {
      ...entry,
      calibration: { ...entry.calibration, checkValues: [{ temperature: 100, signal: 138.5055 }] },
    };
    const result = unwrap(evaluateReferenceCheck(parsed({ reference, readings: series(0.03, 5) })));
    if (result.revision?.kind !== "reference") throw new Error("no revision");
    expect(result.revision.entry.calibration.checkValues).toBeUndefined();
  });

  it("[K24] an ITS-90 thermometer gets a new R(TPW)", () => {
    const sensor = {
      kind: "platinum" as const,
      equation: "its-90" as const,
      rtpw: 100,
      coefficients: [{ subrange: 7, a: 0, b: 0, c: 0 }],
    };
    const at = ohmsAt(sensor, 0.01) * 1.0001;
    const { time } = series(0, 1);
    const result = unwrap(
      evaluateReferenceCheck(
        parsed({
          reference: { ...standardPlatinumEntry(sensor), range: { minimum: 0, maximum: 420 } },
          point: "water-triple-point",
          readings: { time, signal: time.map(() => at) },
        }),
      ),
    );
    expect(result.revision?.entry).toMatchObject({ sensor: { rtpw: 100.01 } });
  });
});
