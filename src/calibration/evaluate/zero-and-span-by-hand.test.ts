import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import type { ItemResult, MeasuredPoint } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { inventedJob, InventedRun, transmitter } from "./invented-run.test-support.ts";
import { splitUncertainty } from "./own-to-point.ts";
import { largestFraction, proposeAdjustment, zeroAndSpan } from "./zero-and-span.ts";

const job = inventedJob({ items: [transmitter] });
const item = job.items[0]!;
const base = evaluate(new InventedRun(job).begin().measure({ point: 0 }).events).items[0]!;
const measured = base.passes[0]!.points[0] as MeasuredPoint;

interface Found {
  readonly at: number;
  readonly error: number;
  /** Standard uncertainty that is the point's own, and that is common to all, K. */
  readonly own: number;
  readonly common: number;
  readonly half?: number;
}

/** The result of an item whose errors, their own and their common parts are given. */
const resultOf = (...found: readonly Found[]): ItemResult => ({
  ...base,
  passes: [
    {
      ...base.passes[0]!,
      points: found.map(({ at, error, own, common, half = 0.5 }, point): MeasuredPoint => {
        const line = measured.budget.lines[0]!;
        const u = Math.hypot(own, common);
        return {
          ...measured,
          point,
          nominal: at,
          reference: { ...measured.reference, value: at },
          error: { ...measured.error, value: error },
          budget: {
            ...measured.budget,
            u,
            U: 2 * u,
            coverage: 0.9545,
            lines: [
              { ...line, id: "item.repeatability", contribution: own },
              { ...line, id: "reference.calibration", contribution: common },
            ],
          },
          conformity: {
            tolerance: { lower: -half, upper: 2 * half },
            acceptance: null,
            decision: "pass",
            conformanceProbability: 1,
            specificRisk: 0,
          },
        };
      }),
    },
  ],
});
/** k for 95.45 % and infinitely many degrees of freedom. */
const k = 2;

describe("zero and span, worked by hand [C33]", () => {
  it("of two points at the ends are minus the error below, and minus what the one above has more", () => {
    const result = resultOf(
      { at: 0, error: 0.5, own: 0.03, common: 0.04 },
      { at: 150, error: 0.2, own: 0.06, common: 0.08 },
    );
    const { zero, span, zeroU, spanU, forecast, range } = unwrap(zeroAndSpan(result, item));
    expect(range).toEqual({ lower: 0, upper: 150 });
    expect(zero).toBeCloseTo(-0.5, 12);
    expect(span).toBeCloseTo(0.3, 12);
    expect(zeroU).toBeCloseTo(k * 0.05, 4);
    // Own parts as squares; of what is common only the difference is left.
    expect(spanU).toBeCloseTo(k * Math.sqrt(0.03 ** 2 + 0.06 ** 2 + 0.04 ** 2), 4);
    expect(forecast.map(({ shift }) => shift)).toEqual([expect.closeTo(-0.5, 12), expect.closeTo(-0.2, 12)]);
    expect(forecast.map(({ shiftU }) => shiftU)).toEqual([expect.closeTo(k * 0.05, 4), expect.closeTo(k * 0.1, 4)]);
    for (const { asLeft } of forecast) expect(asLeft).toBeCloseTo(0, 12);
    expect(forecast.map(({ point, nominal, asFound, U }) => [point, nominal, asFound, U])).toEqual([
      [0, 0, 0.5, expect.closeTo(0.1, 12)],
      [1, 150, 0.2, expect.closeTo(0.2, 12)],
    ]);
  });

  it("of three points are the weighted line, weights 1/u²", () => {
    const found = [
      { at: 0, error: 0.4, own: 0.05, common: 0 },
      { at: 75, error: 0.7, own: 0.1, common: 0 },
      { at: 150, error: 0.6, own: 0.05, common: 0 },
    ];
    const { zero, span, zeroU, spanU } = unwrap(zeroAndSpan(resultOf(...found), item));
    // Weights 4 : 1 : 4 at 0, 0.5 and 1: mean position 0.5, mean error 4.7/9, slope (0.6 − 0.4)·2/2.
    const mean = (4 * 0.4 + 0.7 + 4 * 0.6) / 9;
    expect(span).toBeCloseTo(-0.2, 12);
    expect(zero).toBeCloseTo(-(mean - 0.1), 12);
    // Variances of the line: 1/Σw and 1/Σw(x − x̄)², w = 400, 100, 400.
    expect(spanU).toBeCloseTo(k * Math.sqrt(1 / 200), 4);
    expect(zeroU).toBeCloseTo(k * Math.sqrt(1 / 900 + 0.25 / 200), 4);
  });

  it("of temperatures within a twentieth of the range correct the zero alone, by the weighted mean", () => {
    const close = (second: number) =>
      unwrap(
        zeroAndSpan(
          resultOf({ at: 70, error: 0.4, own: 0.05, common: 0.1 }, { at: second, error: 0.6, own: 0.05, common: 0.1 }),
          item,
        ),
      );
    const near = close(77);
    expect(near.zero).toBeCloseTo(-0.5, 12);
    expect([near.span, near.spanU]).toEqual([0, 0]);
    expect(Object.is(near.span, 0)).toBe(true);
    expect(near.zeroU).toBeGreaterThan(k * 0.1);
    expect(near.forecast.map(({ shift }) => shift)).toEqual([expect.closeTo(-0.5, 12), expect.closeTo(-0.5, 12)]);
    expect(close(78).span).not.toBe(0);
  });

  it("of what is already right are nothing, without a sign", () => {
    const { zero, span } = unwrap(
      zeroAndSpan(resultOf({ at: 0, error: 0, own: 0.1, common: 0 }, { at: 150, error: 0, own: 0.1, common: 0 }), item),
    );
    expect([Object.is(zero, 0), Object.is(span, 0)]).toEqual([true, true]);
  });

  it("take the points as found, and only those that were measured", () => {
    const result = resultOf({ at: 0, error: 0.5, own: 0.1, common: 0 }, { at: 150, error: 0.5, own: 0.1, common: 0 });
    const [pass] = result.passes;
    const left = { ...pass!, pass: "as-left" as const, points: [] };
    const skipped = { status: "skipped", point: 2, nominal: 75, reason: "x", origin: [0] } as const;
    const more = { ...result, passes: [left, { ...pass!, points: [...pass!.points, skipped] }] };
    expect(unwrap(zeroAndSpan(more, item)).forecast).toHaveLength(2);
    expect(zeroAndSpan({ ...result, passes: [left] }, item)).toMatchObject({
      ok: false,
      fault: { code: "run.not-allowed", data: { item: "item-loop" } },
    });
  });

  it("cannot be laid through errors without uncertainty", () => {
    expect(zeroAndSpan(resultOf({ at: 0, error: 1, own: 0, common: 0 }), item)).toMatchObject({
      ok: false,
      fault: { code: "uncertainty.invalid", data: { item: "item-loop" } },
    });
  });
});

describe("advice, worked by hand [C34]", () => {
  const at = (error: number, own: number) =>
    unwrap(zeroAndSpan(resultOf({ at: 0, error, own, common: 0 }, { at: 150, error, own, common: 0 }), item));

  it("a shift must be at least √2 times the U of an error", () => {
    // U = 2·0.1 K: √2·U = 0.2828 K.
    expect(at(0.28, 0.1).advice).toBe("leave-alone");
    expect(at(0.29, 0.1).advice).toBe("adjust");
    expect(at(-0.29, 0.1).advice).toBe("adjust");
    expect(at(0.29, 0.1).reason).toMatch(/^The largest error would go from 0\.29 K to /);
  });

  it("the largest error must become smaller", () => {
    // Errors that no straight line mends: the line through them is their mean, 0.5 K, and the largest stays.
    const bent = resultOf(
      { at: 0, error: 0.3, own: 0.02, common: 0 },
      { at: 75, error: -0.3, own: 0.01, common: 0 },
      { at: 150, error: 0.3, own: 0.02, common: 0 },
    );
    const { advice, reason, forecast } = unwrap(zeroAndSpan(bent, item));
    // Weights 1 : 4 : 1: the mean is −0.1 K, so the ends go to 0.4 K.
    expect(forecast[0]!.asLeft).toBeCloseTo(0.4, 9);
    expect(advice).toBe("leave-alone");
    expect(reason).toMatch(/what is wrong is not a straight line/);
  });
});

describe("the largest error as a fraction of its tolerance", () => {
  it("is taken on the side on which it lies", () => {
    // Tolerances from −0.5 K to 1 K.
    const one = (error: number) => largestFraction(resultOf({ at: 0, error, own: 0.1, common: 0 }));
    expect([one(0.5), one(-0.25), one(0), one(-1)]).toEqual([0.5, 0.5, expect.closeTo(0, 12), 2]);
    const several = resultOf(
      { at: 0, error: 0.1, own: 0.1, common: 0 },
      { at: 50, error: -0.3, own: 0.1, common: 0 },
      { at: 100, error: 0.4, own: 0.1, common: 0 },
    );
    expect(largestFraction(several)).toBeCloseTo(0.6, 12);
    expect(largestFraction({ ...base, passes: [] })).toBe(0);
    const untold = { ...measured, error: { ...measured.error, value: 9 }, conformity: null };
    expect(largestFraction({ ...base, passes: [{ ...base.passes[0]!, points: [untold] }] })).toBe(0);
  });

  it("asks for an adjustment where it is exceeded, not where it is met", () => {
    const result = resultOf({ at: 0, error: 0.5, own: 0.01, common: 0 }, { at: 150, error: 0.5, own: 0.01, common: 0 });
    const of = (adjustAbove: number) =>
      proposeAdjustment(result, item, { kind: "zero-and-span", adjustAbove, authorisedBy: "demo" });
    expect(of(0.5)).toMatchObject({
      decision: "leave-alone",
      reason: "The largest error is 50 % of its tolerance; the procedure adjusts above 50 %.",
    });
    expect(of(0.5).correction).not.toBeNull();
    expect(of(0.49).decision).toBe("adjust");
  });
});

describe("what of an uncertainty is a point's own", () => {
  it("is the square sum of its own lines; the rest is common", () => {
    const [point] = resultOf({ at: 0, error: 0, own: 0.03, common: 0.04 }).passes[0]!.points as MeasuredPoint[];
    const { own, common } = splitUncertainty(point!);
    expect(own).toBeCloseTo(0.03, 12);
    expect(common).toBeCloseTo(0.04, 12);
    // Rounding may leave the whole a hair smaller than its own part.
    const hair = { ...point!, budget: { ...point!.budget, u: 0.03 - 1e-9 } };
    expect(splitUncertainty(hair).common).toBe(0);
  });
});
