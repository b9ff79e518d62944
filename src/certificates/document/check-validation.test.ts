import { describe, expect, test } from "vitest";
import type { PointValidation, ValidatedPoint } from "#calibration";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { renderCertificate } from "../render/render-certificate.ts";
import { checkBeforeIssue } from "./check-before-issue.ts";

const run = sampleRun();
const place = { item: run.result.items[0]!.item, pass: "as-found" as const };

/** A validation with the ends of Monte Carlo where they are wanted, as `validationOf` gives it. */
const validated = (
  point: number,
  nominal: number,
  interval: readonly [number, number],
  side: ValidatedPoint["side"],
): PointValidation => {
  const monteCarlo: ValidatedPoint["monteCarlo"] = {
    mean: 0,
    u: 0.1,
    interval,
    shortest: interval,
    endDeviations: [0.0001, 0.0001],
    level: 0.9545,
    trials: 400_000,
    seed: 1,
  };
  const propagation = { error: 0, u: 0.1, U: 0.2, k: 2 };
  const [dLow, dHigh] = [Math.abs(-0.2 - interval[0]), Math.abs(0.2 - interval[1])];
  const worst = Math.max(dLow, dHigh);
  const check: ValidatedPoint["check"] = {
    delta: 0.005,
    interval: [-0.2, 0.2],
    differences: [-0.2 - interval[0], 0.2 - interval[1]],
    dLow,
    dHigh,
    endDeviations: monteCarlo.endDeviations,
    agreement: worst > 0.0052 ? "disagrees" : worst > 0.005 ? "open" : "agrees",
  };
  const words = `Invented words for ${nominal} °C.`;
  return { ...place, point, nominal, status: "validated", propagation, monteCarlo, check, side, words };
};

const warningsOf = (validation: readonly PointValidation[]): string[] =>
  checkBeforeIssue({ ...run, validation })
    .warnings.filter(({ clause }) => clause === "JCGM 101, 8")
    .map(({ message }) => message);

describe("the check list and the validation by Monte Carlo", () => {
  test("has nothing to say where the two methods agree, or nobody validated", () => {
    expect(warningsOf([validated(0, 0, [-0.201, 0.2], null)])).toEqual([]);
    expect(warningsOf([])).toEqual([]);
  });

  test("names the point whose stated interval is too narrow, with the words of the comparison [C40]", () => {
    const [only, ...others] = warningsOf([
      validated(0, 0, [-0.2, 0.2], null),
      validated(1, 50, [-0.26, 0.2], "too-narrow"),
    ]);
    expect(others).toEqual([]);
    expect(only).toMatch(/, as found, 50.°C: Invented words for 50 °C\.$/);
  });

  test("says what errs on the safe side once for all its points, with how much it is [C40]", () => {
    const [only, ...others] = warningsOf([
      validated(0, 0, [-0.18, 0.19], "too-wide"),
      validated(2, 100, [-0.19, 0.19], "too-wide"),
    ]);
    expect(others).toEqual([]);
    expect(only).toContain("disagree on the safe side at 2 points");
    // The largest difference of an end is 0.02 of U = 0.2.
    expect(only).toContain("by 10 % of U at most");
    expect(only).toMatch(/0.°C; .*100.°C\)/);
  });

  test("says why a point was not validated, once for each reason, and which stayed open [C40]", () => {
    const none = (point: number, nominal: number, reason: string): PointValidation => ({
      ...place,
      point,
      nominal,
      status: "not-validated",
      code: "uncertainty.invalid",
      reason,
    });
    const open = validated(3, 150, [-0.2051, 0.2], null);
    expect(open.status === "validated" && open.check.agreement).toBe("open");
    expect(warningsOf([none(0, 0, "Out of range."), none(1, 50, "Out of range."), open])).toEqual([
      expect.stringMatching(/^One point could not be decided by Monte Carlo \(.*150.°C\)/),
      expect.stringMatching(/^2 points could not be validated by Monte Carlo \(.*0.°C; .*50.°C\): Out of range\.$/),
    ]);
  });

  test("changes not a byte of the certificate itself", () => {
    const validation = [validated(1, 50, [-0.26, 0.2], "too-narrow")];
    const [plain, checked] = [renderCertificate(run), renderCertificate({ ...run, validation })];
    expect(Buffer.compare(plain.pdf, checked.pdf)).toBe(0);
    expect(checked.check.warnings.length).toBe(plain.check.warnings.length + 1);
  });
});
