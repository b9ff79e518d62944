import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf } from "#thermometry";
import { isSwitch } from "../job/switch-sweeps.ts";
import { logView } from "../log/log-view.ts";
import { RampLog, rampJob } from "./ramp-log.test-support.ts";
import { sweepResult, type SweepOutcome } from "./sweep-result.ts";

/** A ramp of 0.5 K/min from 87 °C at 600 s on, whose reference and contact are read at moments of their own. */
const rampOf = ({
  reference = Array.from({ length: 60 }, (_, index) => 600 + 7 * index),
  contact = Array.from({ length: 100 }, (_, index) => 600 + 5 * index),
  moment = 961,
  from = 960,
  to = 965,
  truth = (time: number) => 87 + (0.5 * (time - 600)) / 60,
  wire = false,
  change = true,
}: {
  readonly reference?: readonly number[];
  readonly contact?: readonly number[];
  readonly moment?: number;
  readonly from?: number;
  readonly to?: number;
  readonly truth?: (time: number) => number;
  readonly wire?: boolean;
  readonly change?: boolean;
} = {}): RampLog => {
  const log = new RampLog(rampJob());
  const { sensor } = log.job.kit.reference;
  const place = { pass: "as-found" as const, point: 0 };
  log.add({ kind: "ramp-begun", ...place, at: 600, from: 87, to: 93, rate: 0.5, by: "steps" });
  const values = reference.map((time) => unwrap(signalOf(sensor, truth(time))).signal);
  if (reference.length > 0)
    log.add({
      kind: "readings-taken",
      at: 1100,
      channel: "reference",
      unit: "Ω",
      times: [...reference],
      values: wire ? values.map((value) => Number(value.toFixed(3))) : values,
      ...(wire ? { wire: values.map((value) => value.toFixed(3)) } : {}),
    });
  const closed = contact.map((time) => (time >= moment ? 0 : 1));
  log.add({
    kind: "readings-taken",
    at: 1100,
    channel: "item-1",
    unit: "contact",
    times: [...contact],
    values: closed,
  });
  if (change)
    log.add({ kind: "contact-changed", ...place, at: 1100, item: "tsh", closed: false, from, to, bounces: 2 });
  return log;
};
const resultOf = (log: RampLog, point = 0): SweepOutcome => {
  const [item] = log.job.items;
  if (!isSwitch(item!)) throw new Error("no switch");
  return sweepResult(logView(log.events), item, "as-found", point);
};

describe("the change of one ramp [C61]", () => {
  it("is linear between the reference's readings before and after, read at moments of its own", () => {
    const { result, change } = resultOf(rampOf());
    // In the middle of 960 s and 965 s: 87 °C + 0.5 K/min · 362.5 s.
    const middle = 87 + (0.5 * 362.5) / 60;
    expect(change!.temperature).toBeCloseTo(middle, 9);
    expect(change!.rate).toBeCloseTo(0.5 / 60, 9);
    expect(change!.halfWidth).toBeCloseTo((0.5 / 60) * 2.5, 9);
    expect(change).toMatchObject({ bounces: 2, since: 362.5, origin: [3, 5] });
    expect(result).toMatchObject({
      status: "changed",
      point: 0,
      direction: "rising",
      cycle: 1,
      bracket: { from: 960, to: 965 },
      bounces: 2,
      reason: null,
      origin: [5],
      temperature: { unit: "°C", origin: [3, 5] },
    });
    expect(result.temperature!.value).toBe(change!.temperature);
    expect(result.rate).toBeCloseTo(0.5, 9);
  });

  it("has the reference's own reading where one is taken in the very middle", () => {
    const reference = [950, 955, 962.5, 970];
    expect(resultOf(rampOf({ reference })).change!.temperature).toBeCloseTo(87 + (0.5 * 362.5) / 60, 9);
  });

  it("takes the rate over the two minutes before it, not what came before or after", () => {
    const bent = (time: number): number =>
      time < 830 ? 88 : time <= 972 ? 88 + (0.5 * (time - 830)) / 60 : 88 + (0.5 * 142) / 60;
    expect(resultOf(rampOf({ truth: bent })).change!.rate).toBeCloseTo(0.5 / 60, 6);
    // A ramp that had begun a minute before: nothing of the rest before its beginning.
    const late = rampOf({
      truth: (time) => 87 + (0.5 * Math.max(0, time - 600)) / 60,
      reference: Array.from({ length: 60 }, (_, index) => 400 + 7 * index),
      moment: 661,
      from: 660,
      to: 665,
    });
    // One reading before the beginning may bracket it; the slope hardly feels it.
    expect(resultOf(late).change!.rate * 60).toBeGreaterThan(0.48);
    expect(resultOf(late).change!.since).toBeCloseTo(62.5, 12);
  });

  it("leaves rejected readings of the reference out", () => {
    const log = rampOf();
    const readings = log.events[3]!;
    if (readings.kind !== "readings-taken") throw new Error("no readings");
    // 957 s and 964 s are the readings around the middle; both are spikes.
    for (const time of [957, 964, 852]) {
      readings.values[readings.times.indexOf(time)] = 500;
      log.add({ kind: "reading-rejected", at: 1100, channel: "reference", time, reason: "spike" });
    }
    expect(resultOf(log).change!.temperature).toBeCloseTo(87 + (0.5 * 362.5) / 60, 9);
    expect(resultOf(log).change!.rate).toBeCloseTo(0.5 / 60, 9);
  });

  it("knows the digit of the reference, as it came over the wire where there was one", () => {
    expect(resultOf(rampOf({ wire: true })).change!.referenceDigit.wire).toBeCloseTo(0.001, 12);
    expect(resultOf(rampOf({ wire: true })).change!.referenceDigit.values).toBeCloseTo(0.001, 12);
    expect(resultOf(rampOf()).change!.referenceDigit.wire).toBeUndefined();
    expect(resultOf(rampOf()).change!.referenceDigit.values).toBeLessThan(1e-9);
  });

  it.each<[string, readonly number[]]>([
    ["after it", [900, 910, 920, 930, 940, 950]],
    ["before it", [964, 970, 980]],
    ["within a minute before it", [800, 850, 899, 970]],
    ["within a minute after it", [940, 950, 958, 1026]],
    ["at two moments more", [955, 970]],
  ])("has no temperature where the reference was not read %s", (_, reference) => {
    const { result, change, code, reached } = resultOf(rampOf({ reference }));
    expect([change, reached]).toEqual([null, null]);
    expect(code).toBe("input.invalid");
    expect(result).toMatchObject({ status: "flagged", temperature: null, rate: null, bracket: null, origin: [5] });
    expect(result.reason).toMatch(/was not read before and after the change of TSH-118/);
  });

  it("is flagged where a signal of the reference gives no temperature", () => {
    const log = rampOf();
    const readings = log.events[3]!;
    if (readings.kind !== "readings-taken") throw new Error("no readings");
    readings.values[readings.times.indexOf(957)] = 9000;
    expect(resultOf(log)).toMatchObject({ code: "thermometry.out-of-range", result: { status: "flagged" } });
    // Within the two minutes before it, too.
    const before = rampOf();
    const earlier = before.events[3]!;
    if (earlier.kind !== "readings-taken") throw new Error("no readings");
    earlier.values[earlier.times.indexOf(852)] = 9000;
    expect(resultOf(before)).toMatchObject({ code: "thermometry.out-of-range", result: { status: "flagged" } });
  });
});

describe("a change that the readings do not bear out [C69]", () => {
  it.each([
    ["the contact had changed before", { from: 960, to: 965, moment: 958 }, false],
    ["it was still in its old state at the end", { from: 955, to: 960, moment: 961 }, false],
    ["no reading was taken at its end", { from: 960, to: 966 }, false],
    ["no reading was taken at its beginning", { from: 958, to: 965 }, false],
    ["it has its only reading of both", { from: 965, to: 965 }, true],
    ["it is as it is stated", {}, true],
  ])("%s", (_, change, believed) => {
    const log = rampOf(change);
    const { result, code } = resultOf(log);
    expect(result.status).toBe(believed ? "changed" : "flagged");
    if (believed) return;
    expect(code).toBe("log.invalid");
    expect(result.reason).toMatch(/^Line 6 of the log says that the contact of TSH-118 changed/);
  });

  it("nor does a log without any reading of the reference", () => {
    expect(resultOf(rampOf({ reference: [] }))).toMatchObject({ code: "log.invalid", result: { status: "flagged" } });
  });
});

describe("a ramp without a change", () => {
  const place = { pass: "as-found" as const, point: 0 };

  it("says how far it went [C67]", () => {
    const log = rampOf({ change: false });
    log.add({ kind: "ramp-ended", ...place, at: 1100, unchanged: ["tsh"], reached: 92.96 });
    expect(resultOf(log)).toMatchObject({
      change: null,
      reached: 92.96,
      result: {
        status: "no-change",
        reason: "The contact did not change on the way from 87 °C to 93.0 °C.",
        origin: [5],
        bounces: 0,
      },
    });
    const blind = rampOf({ change: false });
    blind.add({ kind: "ramp-ended", ...place, at: 1100, unchanged: ["tsh"], reached: null });
    expect(resultOf(blind)).toMatchObject({
      reached: null,
      result: { reason: "The contact did not change on the way from 87 °C to the end." },
    });
  });

  it("says why it was not made", () => {
    const log = rampOf({ change: false });
    expect(resultOf(log).result).toMatchObject({
      status: "not-measured",
      reason: "Not reached yet: the run is still open.",
      origin: [4],
    });
    // Another switch on the same ramp did not change; of this one nothing is said.
    log.add({ kind: "ramp-ended", ...place, at: 1100, unchanged: ["other"], reached: 93 });
    expect(resultOf(log).result.status).toBe("not-measured");
    log.add({ kind: "point-skipped", ...place, at: 1100, reason: "no time", by: "demo technician" });
    expect(resultOf(log).result).toMatchObject({
      status: "skipped",
      reason: "no time (demo technician)",
      origin: [6],
    });
    log.end("stopped");
    expect(resultOf(log, 1).result).toMatchObject({
      status: "not-measured",
      direction: "falling",
      reason: "Not reached before the run ended (stopped).",
      origin: [7],
    });
  });
});
