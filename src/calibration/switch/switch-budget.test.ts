import { describe, expect, it } from "vitest";
import { evaluate } from "../evaluate/evaluate.ts";
import { inventedKit } from "../evaluate/invented-run.test-support.ts";
import { jobSchema, type Job } from "../job/job.ts";
import type { MeasuredChange, MeasuredDeadBand, SwitchResult, UnmeasuredChange } from "../result/switch-result.ts";
import { RampLog, rampJob, type RampJobChange } from "./ramp-log.test-support.ts";

const up = [90.3, 90.4, 90.5];
const down = [86.9, 86.8, 86.7];
const resultOf = (log: RampLog): SwitchResult => evaluate(log.events).items[0]!.passes[0]!.switch!;
const found = (change: RampJobChange = {}): SwitchResult =>
  resultOf(new RampLog(rampJob(change), { interval: 0.5 }).cycles(up, down));
const measured = <S extends { readonly status: string }>(side: S): Extract<S, { status: "measured" }> => {
  if (side.status !== "measured") throw new Error(JSON.stringify(side));
  return side as Extract<S, { status: "measured" }>;
};
const line = ({ budget }: MeasuredChange | MeasuredDeadBand, id: string) =>
  budget.lines.find((each) => each.id === id)!;
const root3 = Math.sqrt(3);
const by = "demo technician";

describe("the budget of a change, worked by hand [C61 to C65]", () => {
  const lag = { seconds: 60, halfWidth: 12 };
  const { rising, falling, deadBand } = found({ sensor: { lag } });
  const trip = measured(rising);

  it("has the lines of the reference and the place on the day of the run", () => {
    // Taken off: 0.5 K. 89.9 °C: 134.686 Ω at 0.38051 Ω/K; 25 November is the 317th day after 12 January.
    const expected: Record<string, number> = {
      "reference.calibration": 0.015,
      "reference.drift": (0.04 * 317) / 365.2425 / root3,
      "reference.interpolation": 0.005 / root3,
      "reference.self-heating": 0.004 / root3,
      "reference.readout": (3e-5 * 134.686 + 0.001) / 0.38051 / root3,
      // The readings of this log have all digits, so the readout's own 0.1 mΩ counts.
      "reference.resolution": 0.00005 / 0.38051 / root3,
      "source.axial": (0.03 + 0.12 * (89.9 / 400)) / root3,
      "source.radial": 0.02 / root3,
      "source.loading": 0.01 / root3,
      "switch.time": ((0.5 / 60) * 0.25) / root3,
      "switch.lag": 0.1 / root3,
    };
    for (const [id, contribution] of Object.entries(expected)) {
      expect([id, (line(trip, id).contribution / contribution).toFixed(2)]).toEqual([id, "1.00"]);
      expect(line(trip, id).sensitivity).toBeGreaterThan(0);
    }
    // What had not come yet: e^(−t/τ), τ = L + 2·u(L) + 30 s, the change at 90.3 °C after 396 s being the worst.
    const seconds = 60 + (2 * 12) / root3;
    const rest = (0.5 / 60) * seconds * Math.exp(-396 / (seconds + 30));
    expect(line(trip, "switch.beginning").contribution / (rest / root3)).toBeCloseTo(1, 1);
    expect(line(trip, "switch.lag").source).toBe(
      "job: TSH-118 trails the reference by 60 s ± 12 s (corrected), at 0.5 K/min",
    );
    expect(line(trip, "switch.time").source).toMatch(/±0\.002083 K at most/);
    const square = trip.budget.lines.reduce((sum, { contribution }) => sum + contribution ** 2, 0);
    expect(trip.budget.u).toBeCloseTo(Math.sqrt(square), 12);
    expect(trip.budget.U).toBeCloseTo(trip.budget.k * trip.budget.u, 12);
    expect(trip.budget.coverage).toBeCloseTo(0.9545, 12);
  });

  it("names the log lines of its changes, in order", () => {
    const { origin } = trip.temperature;
    expect(origin).toEqual(origin.toSorted((a, b) => a - b));
    expect(new Set(origin).size).toBe(origin.length);
    // A line of readings and the change itself for each of the three cycles.
    expect(origin).toHaveLength(6);
    for (const id of ["switch.time", "switch.repeatability"])
      expect(line(trip, id).origin).toEqual(line(trip, id).origin.toSorted((a, b) => a - b));
    const band = measured(deadBand).value.origin;
    expect(band).toEqual(band.toSorted((a, b) => a - b));
    expect(band).toHaveLength(12);
  });

  it("is reported to the place of its U, with the deviation from the agreed temperature", () => {
    expect(trip.deviation!.value).toBeCloseTo(-0.1, 2);
    expect(trip.reported.deviation).toMatch(/^-0\.1\d$|^-0\.09\d?$|^-0\.10\d?$/);
    expect(trip.reported.temperature).toMatch(/^89\.9\d?\d?$/);
    expect(trip.reported.U).toMatch(/^0\.\d\d$/);
    expect(trip.reported.k).toBe(trip.budget.k.toFixed(2));
    expect(measured(falling).deviation).toBeNull();
    expect(measured(falling).reported.deviation).toBeNull();
  });

  it("of the dead band counts what each change has of its own, and a lag for both rates [C66]", () => {
    const band = measured(deadBand);
    // Taken off both ways: 3.6 K − 2 · 0.5 K.
    expect(band.value.value).toBeCloseTo(2.6, 2);
    expect(line(band, "switch.lag").contribution).toBeCloseTo(0.2 / root3, 4);
    expect(
      line(band, "reference.resolution").contribution / line(trip, "reference.resolution").contribution,
    ).toBeCloseTo(Math.SQRT2, 2);
    const beginnings =
      line(trip, "switch.beginning").contribution + line(measured(falling), "switch.beginning").contribution;
    expect(line(band, "switch.beginning").contribution).toBeCloseTo(beginnings, 9);
    for (const [side, id] of [
      [trip, "rising"],
      [measured(falling), "falling"],
    ] as const) {
      expect(line(band, `switch.repeatability-${id}`).u).toBe(line(side, "switch.repeatability").u);
      expect(line(band, `switch.time-${id}`).u).toBe(line(side, "switch.time").u);
    }
    expect(Number(band.reported.value)).toBeCloseTo(2.6, 1);
    expect(band.reported.k).toBe(band.budget.k.toFixed(2));
  });

  it("of the dead band from two rates has the difference of two fitted temperatures (GUM, 5.2.2)", () => {
    const log = new RampLog(rampJob({ ramp: { rate: 0.6, slowRate: 0.3, cycles: 4 } }), { interval: 0.5 });
    for (const [cycle, off] of [0.41, 0.2, 0.38, 0.22].entries())
      log.ramp(2 * cycle, { at: 90 + off }).ramp(2 * cycle + 1, { at: 87 - off + 0.01 * cycle });
    const result = resultOf(log);
    const [one, other, band] = [measured(result.rising), measured(result.falling), measured(result.deadBand)];
    expect(line(band, "switch.lag")).toBeUndefined();
    // The lag that both share is an error of opposite sign in the two, so the difference is known worse than if they were apart.
    const apart = Math.hypot(line(one, "switch.repeatability").u, line(other, "switch.repeatability").u);
    expect(line(band, "switch.repeatability").u).toBeGreaterThan(apart * 1.2);
    expect(line(band, "switch.repeatability").u).toBeLessThan(apart * Math.SQRT2);
    expect(line(band, "switch.repeatability").degreesOfFreedom).toBe(5);
    expect(line(one, "switch.beginning")).toBeDefined();
  });

  it("takes the widest of the cycles for the time between two readings, once", () => {
    const log = new RampLog(rampJob(), { interval: 2 });
    log.ramp(0, { at: 90.3, chatter: 24 }).ramp(1, { at: 86.9 }).ramp(2, { at: 90.4, chatter: 12 });
    log.ramp(3, { at: 86.8 }).ramp(4, { at: 90.5 });
    const trip24 = line(measured(resultOf(log).rising), "switch.time");
    // 26 s from the last steady reading to the first that lasted, u-shaped: a/√2.
    expect(trip24.distribution).toBe("u-shaped");
    expect(trip24.u).toBeGreaterThan((0.5 * 22) / 120 / Math.SQRT2);
    expect(trip24.u).toBeLessThan((0.5 * 28) / 120 / Math.SQRT2);
  });
});

describe("a switch that did not act [C67]", () => {
  const sensor = { lag: { seconds: 0, halfWidth: 2 } };
  /** Ramps of which the first in a direction brings no change, the reference having reached a temperature or not. */
  const stuck = (change: RampJobChange, point: number, reached: number | null): UnmeasuredChange => {
    const log = new RampLog(rampJob({ sensor, ...change }));
    const place = { pass: "as-found" as const, point };
    log.add({ kind: "ramp-ended", at: 900, ...place, unchanged: ["tsh"], reached });
    const { rising, falling } = resultOf(log);
    const side = point % 2 === 0 ? rising : falling;
    if (side.status === "measured") throw new Error("measured");
    return side;
  };

  it("fails only where the reference went beyond its limit by more than its uncertainty", () => {
    // The limit is at 91 °C; U of the reference there is about 0.11 K.
    expect(stuck({}, 0, 91.5)).toMatchObject({ status: "no-change", decision: "fail", origin: [2] });
    expect(stuck({}, 0, 91.5).reason).toMatch(/beyond its limit, its uncertainty included/);
    expect(stuck({}, 0, 91.05)).toMatchObject({ decision: null });
    expect(stuck({}, 0, 91.05).reason).not.toMatch(/beyond its limit/);
    expect(stuck({}, 0, 90)).toMatchObject({ decision: null });
    // An unknown lag of ±60 s at 0.5 K/min is another half kelvin.
    expect(stuck({ sensor: {} }, 0, 91.5)).toMatchObject({ decision: null });
    expect(stuck({ sensor: {} }, 0, 91.8)).toMatchObject({ decision: "fail" });
  });

  it("going down likewise, below its lower limit", () => {
    const reset = { ...sensor, deadBand: undefined, reset: { temperature: 87, kelvin: 0.4 } };
    const change = { sensor: reset as RampJobChange["sensor"] & object };
    expect(stuck(change, 1, 86.2)).toMatchObject({ status: "no-change", decision: "fail", direction: "falling" });
    expect(stuck(change, 1, 86.55)).toMatchObject({ decision: null });
    expect(stuck(change, 1, 88)).toMatchObject({ decision: null });
    expect(stuck(change, 1, null)).toMatchObject({ status: "no-change", decision: null });
  });

  it("is not judged without limits, nor where nobody knows how far the ramp went", () => {
    // The reset has no temperature of its own here.
    expect(stuck({}, 1, 20)).toMatchObject({ status: "no-change", decision: null, nominal: null });
    expect(stuck({}, 0, null)).toMatchObject({ decision: null });
    // Beyond the reference's equation its uncertainty is not known.
    expect(stuck({}, 0, 1e4)).toMatchObject({ decision: null });
  });

  it("is told from a ramp that was flagged, and from one that was not made", () => {
    const log = new RampLog(rampJob({ sensor })).cycles(up, down);
    const events = log.events.map((event) =>
      event.kind === "contact-changed" ? { ...event, from: event.from - 60, to: event.to - 60 } : event,
    );
    const flagged = evaluate(events).items[0]!.passes[0]!.switch!;
    expect(flagged.rising).toMatchObject({
      status: "flagged",
      code: "log.invalid",
      decision: null,
      role: "trip",
      contact: "opens",
    });
    expect(flagged.falling).toMatchObject({ status: "flagged", role: "reset", contact: "closes" });
    expect(flagged.deadBand).toEqual({
      status: "not-measured",
      reason: "It needs the changes of both directions; the one rising is missing.",
    });
    expect(flagged.decision).toBeNull();
    const none = resultOf(new RampLog(rampJob({ sensor })));
    expect(none.rising).toMatchObject({
      status: "not-measured",
      reason: expect.stringMatching(/still open/),
      origin: [1],
    });
    expect(none.rising).not.toHaveProperty("code");
  });
});

describe("statements and remarks", () => {
  const sensor = { lag: { seconds: 0, halfWidth: 2 } };
  const withKit = (kit: object, change: RampJobChange = { sensor }): Job => {
    const job = rampJob(change);
    return jobSchema.parse({ ...job, kit: { ...job.kit, ...kit } });
  };

  it("of the worst: a missing trip or band leaves it undecided, a missing reset without limits does not [C68]", () => {
    const risingOnly = new RampLog(rampJob({ sensor }));
    for (const [cycle, at] of up.entries()) risingOnly.ramp(2 * cycle, { at });
    expect(resultOf(risingOnly)).toMatchObject({ decision: "undecided", deadBand: { status: "not-measured" } });
    expect((resultOf(risingOnly).deadBand as { reason: string }).reason).toMatch(/the one falling is missing/);
    const fallingOnly = new RampLog(rampJob({ sensor }));
    for (const [cycle, at] of down.entries()) fallingOnly.ramp(2 * cycle + 1, { at });
    expect(resultOf(fallingOnly).decision).toBe("undecided");
    const reset = {
      ...sensor,
      deadBand: undefined,
      reset: { temperature: 87, kelvin: 0.4 },
    } as RampJobChange["sensor"] & object;
    const withReset = (falling: readonly number[]) =>
      resultOf(new RampLog(rampJob({ sensor: reset })).cycles(up, falling));
    expect(withReset(down).decision).toBe("pass");
    expect(withReset([86, 86.1, 85.9]).decision).toBe("fail");
    expect(withReset([]).decision).toBe("undecided");
  });

  it("by the limits of each, from the agreed temperature either way [C68]", () => {
    const low = resultOf(new RampLog(rampJob({ sensor })).cycles([88.4, 88.5, 88.6], [85, 85.1, 84.9]));
    expect(measured(low.rising)).toMatchObject({ conformity: { decision: "fail" } });
    expect(measured(low.rising).deviation!.value).toBeCloseTo(-1.5, 1);
    const narrow = resultOf(new RampLog(rampJob({ sensor })).cycles(up, [89.3, 89.4, 89.5]));
    expect(measured(narrow.deadBand)).toMatchObject({
      conformity: { decision: "fail", tolerance: { lower: 2, upper: 5 } },
    });
    expect(measured(narrow.deadBand).value.value).toBeCloseTo(1, 1);
  });

  it("out of the range of its reference there is none", () => {
    const { reference } = inventedKit;
    const job = withKit({ reference: { ...reference, range: { minimum: 0, maximum: 88 } } });
    const { rising, falling } = resultOf(new RampLog(job).cycles(up, down));
    expect(rising).toMatchObject({ status: "flagged", code: "kit.out-of-range", decision: null });
    expect(rising).toMatchObject({
      reason: expect.stringMatching(/calibrated from 0 °C to 88 °C; this point is at 90\.4/),
    });
    expect(falling.status).toBe("measured");
  });

  it("with a readout that does not reach there is none", () => {
    const { readout } = inventedKit;
    const job = withKit({ readout: { ...readout, accuracy: [{ unit: "Ω", upTo: 134, absolute: 0.001 }] } });
    const { rising, falling } = resultOf(new RampLog(job).cycles(up, down));
    // 134.9 Ω at 90.4 °C, 133.5 Ω at 86.8 °C.
    expect(rising).toMatchObject({ status: "flagged", code: "kit.out-of-range" });
    expect(falling.status).toBe("measured");
  });

  it("warns of tables that end, and of ramps that gave no change", () => {
    const short = [
      { temperature: 0, value: 0.03 },
      { temperature: 88, value: 0.05 },
    ];
    const log = new RampLog(withKit({ source: { ...inventedKit.source, axial: short } })).cycles(up.slice(0, 2), down);
    const warnings = (events: typeof log.events): readonly string[] => evaluate(events).warnings;
    expect(warnings(log.events)).toEqual([
      expect.stringMatching(/axial figure of block-1 does not reach 90\.\d °C/),
      "TSH-118, rising: 2 of 3 ramps gave a change.",
      "TSH-118, falling: 2 of 3 ramps gave a change.",
    ]);
    expect(warnings(new RampLog(rampJob({ sensor })).cycles(up, down).events)).toEqual([]);
    // The lag is asked for where something was measured.
    expect(warnings(new RampLog(rampJob()).events)).toEqual([]);
    expect(warnings(new RampLog(rampJob()).cycles(up, []).events).join()).toMatch(/How much TSH-118 trails/);
  });

  it("says that a reset without a temperature has its dead band judged, and what lacks limits", () => {
    const { falling, deadBand } = resultOf(new RampLog(rampJob({ sensor })).cycles(up, down));
    expect(measured(falling).conformityNote).toMatch(/its dead band is judged/);
    expect(measured(deadBand).conformityNote).toBeNull();
  });

  it("states nothing of anything with kit out of calibration, whatever its limits [C28]", () => {
    const late = new RampLog(rampJob({ sensor }), { opened: "2031-01-01T08:00:00Z" }).cycles(up, down);
    const result = resultOf(late);
    for (const side of [result.rising, result.falling, result.deadBand]) {
      expect(measured(side).conformity).toBeNull();
      expect(measured(side).conformityNote).toMatch(
        /reference ref-7 was out of calibration.*readout readout-2 was out/,
      );
    }
    expect(evaluate(late.events).faults.map(({ code }) => code)).toEqual([
      "kit.out-of-calibration",
      "kit.out-of-calibration",
    ]);
  });

  it("leaves a run that was repeated with its last changes only, and names who skipped", () => {
    const log = new RampLog(rampJob({ sensor })).ramp(0, { at: 90.3 });
    log.add({ kind: "point-skipped", at: log.events.at(-1)!.at, pass: "as-found", point: 1, reason: "late", by });
    expect(resultOf(log).falling).toMatchObject({ status: "not-measured", reason: "late (demo technician)" });
  });
});
