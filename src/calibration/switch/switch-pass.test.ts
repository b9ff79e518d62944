import { describe, expect, it } from "vitest";
import { evaluate } from "../evaluate/evaluate.ts";
import type { RunEvent } from "../log/events.ts";
import { parseLog } from "../log/parse-log.ts";
import type { MeasuredChange, MeasuredDeadBand, SwitchResult } from "../result/switch-result.ts";
import { RampLog, rampJob, type RampJobChange } from "./ramp-log.test-support.ts";

const found = (log: readonly RunEvent[]): SwitchResult => evaluate(log).items[0]!.passes[0]!.switch!;

const measured = <S extends { readonly status: string }>(side: S): Extract<S, { status: "measured" }> => {
  if (side.status !== "measured") throw new Error(JSON.stringify(side));
  return side as Extract<S, { status: "measured" }>;
};

const lineOf = ({ budget }: MeasuredChange | MeasuredDeadBand, id: string) =>
  budget.lines.find((line) => line.id === id);

const up = [90.3, 90.4, 90.5];
const down = [86.9, 86.8, 86.7];
const ramps = (change: RampJobChange = {}, options: { interval?: number; noise?: number } = {}) =>
  new RampLog(rampJob(change), options).cycles(up, down, options).end();

describe("the temperature of a change", () => {
  it("is that of the reference in the middle between the contact's readings before and after [C61]", () => {
    const { rising, falling, sweeps } = found(ramps());
    // Straight ramps and readings every 2 s: the middle is within 1 s of the change, 0.5 K/min · 1 s = 0.0083 K.
    for (const [index, sweep] of sweeps.entries()) {
      const truth = index % 2 === 0 ? up[index / 2]! : down[(index - 1) / 2]!;
      expect(Math.abs(sweep.temperature!.value - truth)).toBeLessThanOrEqual(0.0084);
      expect(sweep.rate).toBeCloseTo(index % 2 === 0 ? 0.5 : -0.5, 3);
    }
    expect(measured(rising).temperature.value).toBeCloseTo(90.4, 1);
    expect(measured(falling).temperature.value).toBeCloseTo(86.8, 1);
    expect(lineOf(measured(rising), "switch.time")!.u).toBeCloseTo(0.5 / 60 / Math.sqrt(3), 5);
  });

  it("counts the time between two readings and all chatter at the rate of the ramp [C61]", () => {
    // 0.5 K/min and 60 s from one reading to the next: 0.5 K, so ±0.25 K.
    const slow = measured(found(ramps({}, { interval: 60 })).rising);
    expect(lineOf(slow, "switch.time")).toMatchObject({ distribution: "rectangular" });
    expect(lineOf(slow, "switch.time")!.u).toBeCloseTo(0.25 / Math.sqrt(3), 4);
    const log = new RampLog(rampJob());
    log.ramp(0, { at: 90.3, chatter: 24 }).ramp(1, { at: 86.9 }).ramp(2, { at: 90.4 }).ramp(3, { at: 86.8 });
    const chattered = measured(found(log.end()).rising);
    expect(lineOf(chattered, "switch.time")!.distribution).toBe("u-shaped");
    expect(lineOf(chattered, "switch.time")!.u).toBeCloseTo((0.5 * 24) / 60 / 2 / Math.SQRT2, 2);
    expect(found(log.events).sweeps[0]!.bounces).toBeGreaterThan(0);
  });

  it("has a declared lag taken off: 0.5 K/min and 60 s are 0.5 K [C62]", () => {
    const result = found(ramps({ sensor: { lag: { seconds: 60, halfWidth: 12 } } }, { interval: 0.2 }));
    const [rising, falling, band] = [measured(result.rising), measured(result.falling), measured(result.deadBand)];
    expect(rising.temperature.value).toBeCloseTo(90.4 - 0.5, 2);
    expect(falling.temperature.value).toBeCloseTo(86.8 + 0.5, 2);
    expect(band.value.value).toBeCloseTo(3.6 - 1, 2);
    expect(lineOf(rising, "switch.lag")!.u).toBeCloseTo(0.1 / Math.sqrt(3), 4);
    expect(result.lag).toMatchObject({ known: "declared", seconds: 60 });
  });

  it("keeps an unknown lag in the budget, and says so [C63]", () => {
    const log = ramps();
    const rising = measured(found(log).rising);
    expect(lineOf(rising, "switch.lag")!.u).toBeCloseTo(0.5 / Math.sqrt(3), 3);
    expect(found(log).lag).toMatchObject({ known: "bounded", seconds: 0 });
    expect(evaluate(log).warnings.join()).toMatch(/How much TSH-118 trails the reference is not known; ±60 s/);
    const narrow = measured(found(ramps({ ramp: { lagWithin: 6 } })).rising);
    expect(lineOf(narrow, "switch.lag")!.u).toBeCloseTo(0.05 / Math.sqrt(3), 4);
  });

  it("has the lag found from two rates and taken off, both directions in one fit [C64]", () => {
    const job = rampJob({ ramp: { rate: 0.6, slowRate: 0.3, cycles: 4 } });
    const log = new RampLog(job, { interval: 0.2 });
    // A switch that changes at 90 °C and 87 °C at rest and trails by 40 s: 0.4 K at 0.6 K/min, 0.2 K at 0.3 K/min.
    for (const [cycle, late] of [0.4, 0.2, 0.4, 0.2].entries())
      log.ramp(2 * cycle, { at: 90 + late }).ramp(2 * cycle + 1, { at: 87 - late });
    const result = found(log.end());
    const [rising, falling, band] = [measured(result.rising), measured(result.falling), measured(result.deadBand)];
    expect(result.lag.known).toBe("two-rates");
    expect(result.lag.seconds).toBeCloseTo(40, 0);
    expect(rising.temperature.value).toBeCloseTo(90, 1);
    expect(falling.temperature.value).toBeCloseTo(87, 1);
    expect(band.value.value).toBeCloseTo(3, 1);
    expect(lineOf(rising, "switch.lag")).toBeUndefined();
    // Eight changes, two temperatures and one lag: five degrees of freedom.
    expect(lineOf(rising, "switch.repeatability")!.degreesOfFreedom).toBe(5);
    expect(lineOf(band, "switch.repeatability")!.u).toBeGreaterThan(lineOf(rising, "switch.repeatability")!.u);
  });

  it("counts what a lag had not reached when the contact changed, where one is taken off [C70]", () => {
    const change = { sensor: { lag: { seconds: 60, halfWidth: 0 } } };
    const near = measured(found(ramps({ ...change, ramp: { before: 0.6 } })).rising);
    // From 89.4 °C to 90.3 °C at 0.5 K/min: 108 s of a lag of 60 s with τ = 90 s; 0.5 K · e^(−108/90) = 0.15 K.
    expect(lineOf(near, "switch.beginning")!.u).toBeCloseTo((0.5 * Math.exp(-108 / 90)) / Math.sqrt(3), 2);
    const far = measured(found(ramps({ ...change, ramp: { before: 6 } })).rising);
    expect(lineOf(far, "switch.beginning")!.u).toBeLessThan(0.001);
    expect(lineOf(measured(found(ramps()).rising), "switch.beginning")).toBeUndefined();
  });

  it("scatters by the standard deviation of the mean, Student's with n − 1 [C65]", () => {
    const rising = measured(found(ramps()).rising);
    const line = lineOf(rising, "switch.repeatability")!;
    expect(line).toMatchObject({ distribution: "student", degreesOfFreedom: 2 });
    // 90.3, 90.4, 90.5 °C: s = 0.1 K, s/√3 = 0.0577 K; each is known to ±1 s of the ramp, 0.008 K.
    expect(line.u).toBeCloseTo(0.1 / Math.sqrt(3), 2);
    expect(rising.cycles).toBe(3);
  });

  it("of one cycle alone has no scatter, so no uncertainty is made up [C65]", () => {
    const once = new RampLog(rampJob({ ramp: { cycles: 1 } })).cycles([90.3], [86.9]).end();
    const { rising, deadBand, decision } = found(once);
    expect(rising).toMatchObject({ status: "flagged", code: "uncertainty.invalid" });
    expect((rising as { reason: string }).reason).toMatch(/scatter is not known.*Repeat the ramp/);
    expect(deadBand.status).toBe("not-measured");
    expect(decision).toBeNull();
  });

  it("has the lines of the reference and the place, with the sign of a temperature [C61, C24]", () => {
    const rising = measured(found(ramps({ contributions: { stemConduction: 0.05, hysteresis: 0.3 } })).rising);
    expect(lineOf(rising, "reference.calibration")!.sensitivity).toBe(1);
    expect(lineOf(rising, "source.axial")!.sensitivity).toBe(1);
    expect(lineOf(rising, "item.stem-conduction")!.u).toBeCloseTo(0.05 / Math.sqrt(3), 12);
    // Hysteresis of a switch is its dead band, and that is measured.
    expect(lineOf(rising, "item.hysteresis")).toBeUndefined();
    expect(lineOf(rising, "source.stability")).toBeUndefined();
    expect(rising.budget.lines.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });
});

describe("the dead band [C66]", () => {
  it("is the difference, and what both changes share cancels", () => {
    const band = measured(found(ramps()).deadBand);
    expect(band.value.value).toBeCloseTo(3.6, 1);
    const ids = band.budget.lines.map(({ id }) => id);
    expect(ids.some((id) => id.startsWith("source.") || id === "reference.calibration")).toBe(false);
    expect(ids).toEqual([
      "reference.resolution",
      "switch.time-rising",
      "switch.time-falling",
      "switch.lag",
      "switch.repeatability-rising",
      "switch.repeatability-falling",
    ]);
    // ±60 s at 0.5 K/min both ways: ±1 K.
    expect(lineOf(band, "switch.lag")!.u).toBeCloseTo(1 / Math.sqrt(3), 2);
  });
});

describe("statements about a switch", () => {
  const known = { lag: { seconds: 0, halfWidth: 2 } };
  const decided = (rising: readonly number[], falling: readonly number[], change: RampJobChange = {}) =>
    found(new RampLog(rampJob({ ...change, sensor: { ...known, ...change.sensor } })).cycles(rising, falling).end());

  it("judges trip and dead band each by its own limits, and the pass by the worst [C68]", () => {
    const good = decided(up, down);
    expect(measured(good.rising).conformity).toMatchObject({ decision: "pass", tolerance: { lower: -1, upper: 1 } });
    expect(measured(good.deadBand).conformity).toMatchObject({ decision: "pass", tolerance: { lower: 2, upper: 5 } });
    expect(measured(good.falling)).toMatchObject({ conformity: null, nominal: null });
    expect(good.decision).toBe("pass");
    const wide = decided(up, [84, 84.1, 84.2]);
    expect(measured(wide.rising).conformity!.decision).toBe("pass");
    expect(measured(wide.deadBand).conformity!.decision).toBe("fail");
    expect(wide.decision).toBe("fail");
    const late = decided([91.5, 91.6, 91.7], [88, 88.1, 88.2]);
    expect(measured(late.rising).conformity!.decision).toBe("fail");
    expect(measured(late.rising).deviation!.value).toBeCloseTo(1.6, 1);
  });

  it("judges a reset that has a temperature of its own [C68]", () => {
    const sensor = { ...known, deadBand: undefined, reset: { temperature: 87, kelvin: 0.4 } };
    const result = decided(up, down, { sensor: sensor as RampJobChange["sensor"] & object });
    expect(measured(result.falling)).toMatchObject({ role: "reset", nominal: 87 });
    expect(measured(result.falling).conformity!.tolerance).toEqual({ lower: -0.4, upper: 0.4 });
    expect(measured(result.deadBand).conformityNote).toMatch(/No limits are agreed/);
  });

  it("takes a low alarm falling first, its trip on the way down [C68]", () => {
    const job = rampJob({ sensor: { ...known, tripsOn: "falling", onRise: "closes" } });
    const log = new RampLog(job);
    for (const cycle of [0, 1, 2]) log.ramp(2 * cycle, { at: 90.2 }).ramp(2 * cycle + 1, { at: 93.8 });
    const result = found(log.end());
    expect(measured(result.falling)).toMatchObject({ role: "trip", contact: "opens", nominal: 90 });
    expect(measured(result.rising)).toMatchObject({ role: "reset", contact: "closes" });
    expect(measured(result.deadBand).value.value).toBeCloseTo(3.6, 1);
  });

  it("says of a contact that did not change that it did not, and fails it only far beyond its limit [C67]", () => {
    const stuck = new RampLog(rampJob({ sensor: known })).ramp(0, { at: null });
    const result = found(stuck.end("stopped"));
    expect(result.rising).toMatchObject({ status: "no-change", decision: "fail" });
    expect((result.rising as { reason: string }).reason).toMatch(/did not change on the way from 87 °C to 93\.\d °C/);
    expect(result.sweeps[0]).toMatchObject({ status: "no-change", temperature: null, bracket: null });
    expect(result.sweeps[1]).toMatchObject({ status: "not-measured" });
    expect(result.decision).toBe("fail");
    // A ramp that ends within what the limit and the uncertainty allow proves nothing.
    const short = new RampLog(rampJob({ ramp: { beyond: 0.9 } })).ramp(0, { at: null });
    expect(found(short.end("stopped")).rising).toMatchObject({ status: "no-change", decision: null });
  });

  it("has no mean for a switch that acts on one ramp and not on another [C67]", () => {
    const log = new RampLog(rampJob({ sensor: known }));
    log.ramp(0, { at: 90.3 }).ramp(1, { at: 86.9 }).ramp(2, { at: null });
    expect(found(log.end("stopped")).rising).toMatchObject({ status: "no-change" });
  });

  it("does not believe a change that the contact's readings do not show [C69]", () => {
    const events = ramps().map((event) =>
      event.kind === "contact-changed" && event.point === 0
        ? { ...event, from: event.from - 60, to: event.to - 60 }
        : event,
    );
    const { sweeps } = found(events);
    expect(sweeps[0]).toMatchObject({ status: "flagged", temperature: null });
    expect(sweeps[0]!.reason).toMatch(/its readings do not show it/);
    expect(sweeps[2]!.status).toBe("changed");
  });

  it("states nothing with a kit that was out of calibration on the day [C28]", () => {
    const job = rampJob({ sensor: known });
    const log = new RampLog(job, { opened: "2031-01-01T08:00:00Z" }).cycles(up, down).end();
    const { rising, decision } = found(log);
    expect(measured(rising).conformity).toBeNull();
    expect(measured(rising).conformityNote).toMatch(/out of calibration/);
    expect(decision).toBe("undecided");
  });
});

describe("a run of ramps as a log", () => {
  it("survives a trip through its lines, and gives the same digits [C2]", () => {
    const log = ramps({}, { noise: 0.002 });
    const again = parseLog(log.map((event) => JSON.stringify(event)));
    expect(evaluate(again)).toEqual(evaluate(log));
    expect(JSON.parse(JSON.stringify(evaluate(log)))).toEqual(evaluate(log));
  });

  it("counts the last ramp of a point, and none that is to be repeated [C3]", () => {
    const log = new RampLog(rampJob());
    log.ramp(0, { at: 91.9 }).ramp(0, { at: 90.3 }).ramp(1, { at: 86.9 });
    expect(found(log.events).sweeps[0]!.temperature!.value).toBeCloseTo(90.3, 1);
    log.add({
      kind: "point-repeated",
      at: log.events.at(-1)!.at,
      pass: "as-found",
      point: 0,
      reason: "wire slipped",
      by: "demo technician",
    });
    expect(found(log.events).sweeps[0]).toMatchObject({ status: "not-measured" });
  });

  it("lists every ramp of the procedure, and keeps its points empty [C29]", () => {
    const pass = evaluate(new RampLog(rampJob()).ramp(0, { at: 90.3 }).end("stopped")).items[0]!.passes[0]!;
    expect(pass.points).toEqual([]);
    expect(pass.switch!.sweeps.map(({ cycle, direction, status }) => `${cycle} ${direction} ${status}`)).toEqual([
      "1 rising changed",
      "1 falling not-measured",
      "2 rising not-measured",
      "2 falling not-measured",
      "3 rising not-measured",
      "3 falling not-measured",
    ]);
  });
});
