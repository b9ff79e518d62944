import { describe, expect, it } from "vitest";
import { covarianceBetween, evaluate, referenceSchema, type MeasuredPoint, type RunEvent } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";
import type { EngineView } from "./view.ts";

const by = "Ines Holloway";
const job = inventedJob();
const other = referenceSchema.parse({
  ...job.kit.reference,
  id: "ref-b",
  serial: "R-2",
  description: "spare probe",
  // R0 differs: what was read with one probe means another temperature with the other.
  sensor: { ...job.kit.reference.sensor, r0: 100.08 },
  calibration: { ...job.kit.reference.calibration, certificate: "X-9", uncertainty: 0.06 },
});
const paused = ({ stage }: EngineView): boolean => stage === "paused";
const replace = (earlier: "keep" | "flag", reference = other) =>
  ({ command: "replace-kit", by, reason: "R-1 fell on the floor", reference, earlier }) as const;
const atSecond = (view: EngineView): boolean => view.point === 1 && view.stage === "settling";

const conduct = (earlier: "keep" | "flag") =>
  conductAnalytic(job, {}, [
    (bench) => ({
      when: (view) => {
        if (!atSecond(view)) return false;
        // The probe that is read from here on is the other one.
        bench.fitted = other.sensor;
        return true;
      },
      command: replace(earlier),
    }),
    { when: paused, command: { command: "resume", by } },
  ]);
const points = (log: readonly RunEvent[]) => evaluate(log).items[0]!.passes[0]!.points;

describe("kit that is replaced in the middle of a run", () => {
  it("holds from then on: each window is evaluated with the reference that read it [E26]", async () => {
    const { log, bench } = await conduct("keep");
    // Paused until it is in place, then the point is approached anew.
    expect(log.map(({ kind }) => kind).filter((kind) => kind !== "readings-taken")).toEqual(
      expect.arrayContaining(["kit-replaced", "run-paused", "run-resumed"]),
    );
    expect(bench.commanded).toEqual([50, 100, 100]);
    const [first, second] = points(log) as MeasuredPoint[];
    expect(first!.error.value).toBeCloseTo(0.1, 1);
    expect(second!.error.value).toBeCloseTo(0.1, 1);
    const calibrationOf = (point: MeasuredPoint) =>
      point.budget.lines.find(({ id }) => id === "reference.calibration")!;
    expect(calibrationOf(first!).source).toContain("X-1");
    expect(calibrationOf(second!).source).toContain("X-9");
    expect(calibrationOf(second!).u).toBeCloseTo(3 * calibrationOf(first!).u, 9);
    // Two references have nothing in common but the readout and the places in the source.
    const shared = calibrationOf(first!).shared;
    expect(calibrationOf(second!).shared).not.toBe(shared);
    expect(covarianceBetween(first!, second!)).toBeLessThan(covarianceBetween(first!, first!));
    expect(evaluate(log).kitChanges).toMatchObject([
      { role: "reference", from: { serial: "R-1" }, to: { serial: "R-2" }, earlier: "keep", by },
    ]);
    expect(evaluate(log).warnings).toContainEqual(expect.stringMatching(/R-1 was replaced by R-2.*fell on the floor/));
  });

  it("flags what was measured before where that is asked for; repeating it clears it [E26]", async () => {
    const { log, runner } = await conduct("flag");
    expect(points(log)[0]).toMatchObject({ status: "flagged", code: "kit.suspect" });
    expect(runner.view().route[0]).toMatchObject({ status: "trouble" });
    const repeated = await conductAnalytic(job, {}, [
      (bench) => ({
        when: (view) => {
          if (!atSecond(view)) return false;
          bench.fitted = other.sensor;
          return true;
        },
        command: replace("flag"),
      }),
      {
        when: paused,
        command: { command: "repeat-point", by, reason: "measured with R-1", pass: "as-found", point: 0 },
      },
    ]);
    expect(points(repeated.log).map(({ status }) => status)).toEqual(["measured", "measured"]);
  });

  it("is refused out of calibration, out of range, on a channel that is not there, or where nothing changes [E26]", async () => {
    const refused = [
      { ...other, calibration: { ...other.calibration, due: "2026-02-01" } },
      { ...other, range: { minimum: 0, maximum: 80 } },
      { ...other, channel: "spare" },
      { ...other, unit: "mV" as const },
      job.kit.reference,
    ];
    const { answers, log } = await conductAnalytic(
      job,
      {},
      refused.map((reference) => ({ when: atSecond, command: replace("keep", reference) })),
    );
    expect(answers.map((answer) => (answer.ok ? "taken" : answer.fault.code))).toEqual([
      "kit.out-of-calibration",
      "kit.out-of-range",
      "input.invalid",
      "input.invalid",
      "input.invalid",
    ]);
    expect(log.some(({ kind }) => kind === "kit-replaced")).toBe(false);
  });

  it("is known again after a power cut [E3, E26]", async () => {
    const { log } = await conduct("keep");
    const cut = log.findIndex(({ kind }) => kind === "kit-replaced") + 2;
    const again = await conductAnalytic(job, { fitted: other.sensor }, [], log.slice(0, cut));
    expect(points(again.log)).toMatchObject([
      { status: "measured", error: { value: expect.closeTo(0.1, 1) } },
      { status: "measured", error: { value: expect.closeTo(0.1, 1) } },
    ]);
  });
});
