import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { temperatureOf } from "#thermometry";
import { jobSchema, type Job } from "../job/job.ts";
import type { RunEvent, RunEventOf } from "../log/events.ts";
import { parseLog } from "../log/parse-log.ts";
import { rampJob, type RampJobChange } from "../switch/ramp-log.test-support.ts";
import { predictedLog } from "./predicted-log.ts";

const options = { day: "2026-07-12", target: () => 0.1 };
const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

/** The switch that opens at 90 °C rising, and one beside it that closes at 92 °C; both come back 3.5 K lower. */
const twoSwitches = (change: RampJobChange = {}): Job => {
  const base = rampJob(change);
  const { points: _, ...procedure } = base.procedure;
  const [first] = base.items;
  const second = {
    ...first!,
    id: "tsl",
    tag: "TSL-119",
    channel: "item-2",
    sensor: { ...first!.sensor, trip: 92, onRise: "closes" },
  };
  return jobSchema.parse({ ...base, items: [first, second], procedure });
};

interface SeenRamp {
  readonly commanded: RunEventOf<"set-point-commanded">;
  readonly begun: RunEventOf<"ramp-begun">;
  readonly ended: RunEventOf<"ramp-ended">;
  readonly changes: readonly RunEventOf<"contact-changed">[];
  readonly reference: RunEventOf<"readings-taken">;
  readonly contacts: ReadonlyMap<string, RunEventOf<"readings-taken">>;
}

/** The events of each ramp, in the order of the procedure. */
const rampsOf = (log: readonly RunEvent[]): SeenRamp[] =>
  ofKind(log, "ramp-begun").map((begun) => {
    const end = log.findIndex((event) => event.kind === "ramp-ended" && event.n > begun.n);
    const own = log.slice(begun.n - 1, end + 1);
    const readings = ofKind(own, "readings-taken");
    return {
      begun,
      commanded: ofKind(own, "set-point-commanded")[0]!,
      ended: ofKind(own, "ramp-ended")[0]!,
      changes: ofKind(own, "contact-changed"),
      reference: readings.find(({ channel }) => channel === "reference")!,
      contacts: new Map(readings.filter(({ unit }) => unit === "contact").map((block) => [block.channel, block])),
    };
  });

/** Where the reference stood in the middle of a change, °C, linear between its readings. */
const changedAt = (job: Job, { reference }: SeenRamp, { from, to }: RunEventOf<"contact-changed">): number => {
  const at = (time: number): number =>
    unwrap(temperatureOf(job.kit.reference.sensor, reference.values[reference.times.indexOf(time)]!)).temperature;
  return (at(from) + at(to)) / 2;
};

describe("the foreseen ramps of switches", () => {
  const job = twoSwitches();
  const log = predictedLog(job, options);
  const ramps = rampsOf(log);

  it("are a log that keeps the format, with every ramp of the procedure", () => {
    expect(parseLog(log.map((event) => JSON.stringify(event)))).toEqual(log);
    expect(ramps).toHaveLength(6);
    for (const [point, ramp] of ramps.entries()) {
      const { temperature, sweep } = job.procedure.points[point]!;
      expect(ramp.commanded).toMatchObject({ point, temperature: sweep!.from, at: ramp.begun.at, pass: "as-found" });
      expect(ramp.begun).toMatchObject({ point, from: sweep!.from, to: temperature, rate: 0.5, by: "steps" });
      expect(ramp.ended).toMatchObject({ point, unchanged: [], reached: null, at: ramp.reference.times.at(-1)! });
      expect(ramp.changes.map(({ item }) => item)).toEqual(["tsh", "tsl"]);
    }
  });

  it("follow one another an hour apart, and are read 180 s before the first change and after the last", () => {
    for (const [point, { begun, reference, changes }] of ramps.entries()) {
      const { times } = reference;
      expect(begun.at).toBe(times[0]);
      // The first switch acts in the middle of its hour, but for its scatter of 0.03 K: 3.6 s at 0.5 K/min.
      expect(Math.abs((changes[0]!.from + changes[0]!.to) / 2 - (point + 0.5) * 3600)).toBeLessThan(15);
      for (const [index, time] of times.entries()) expect(time - times[0]!).toBeCloseTo(2 * index, 6);
      const [first, last] = [changes[0]!, changes[1]!].toSorted((a, b) => a.to - b.to);
      expect(first!.to - times[0]!).toBeGreaterThanOrEqual(180);
      expect(first!.to - times[0]!).toBeLessThan(182.001);
      expect(times.at(-1)! - last!.to).toBeGreaterThan(177.999);
      expect(times.at(-1)! - last!.to).toBeLessThan(184);
      // 92 °C and 90 °C at 0.5 K/min are four minutes apart.
      expect(last!.to - first!.to).toBeGreaterThan(220);
      expect(last!.to - first!.to).toBeLessThan(260);
    }
  });

  it("take the reference past both changes at the rate of the ramp, up and down", () => {
    for (const [point, { reference }] of ramps.entries()) {
      const rate = point % 2 === 0 ? 0.5 : -0.5;
      const at = (index: number): number =>
        unwrap(temperatureOf(job.kit.reference.sensor, reference.values.at(index)!)).temperature;
      const minutes = (reference.times.at(-1)! - reference.times[0]!) / 60;
      expect((at(-1) - at(0)) / minutes).toBeCloseTo(rate, 3);
      for (const value of reference.values) expect(value / 0.0001).toBeCloseTo(Math.round(value / 0.0001), 4);
    }
  });

  it("have each contact change once, where its switch should, with a scatter of 0.03 K", () => {
    const off: number[] = [];
    for (const [point, ramp] of ramps.entries()) {
      const rising = point % 2 === 0;
      for (const change of ramp.changes) {
        const closed = (change.item === "tsl") === rising;
        expect(change.closed).toBe(closed);
        expect(change.to - change.from).toBeCloseTo(2, 6);
        expect(change.bounces).toBe(0);
        const { times, values } = ramp.contacts.get(change.item === "tsh" ? "item-1" : "item-2")!;
        expect(times).toEqual(ramp.reference.times);
        for (const [index, time] of times.entries()) expect(values[index]).toBe(time >= change.to === closed ? 1 : 0);
        const trip = change.item === "tsh" ? 90 : 92;
        off.push(changedAt(job, ramp, change) - (rising ? trip : trip - 3.5));
      }
    }
    // Twelve changes; what the steps of 2 s add is 0.017 K wide.
    expect(Math.max(...off.map(Math.abs))).toBeLessThan(4 * 0.03);
    const square = off.reduce((sum, value) => sum + value ** 2, 0) / off.length;
    expect(Math.sqrt(square)).toBeGreaterThan(0.01);
    expect(Math.sqrt(square)).toBeLessThan(0.06);
  });

  it("go down first where the switch trips on falling", () => {
    const low = rampsOf(predictedLog(rampJob({ sensor: { tripsOn: "falling", onRise: "closes" } }), options));
    expect(low.map(({ begun }) => Math.sign(begun.to - begun.from))).toEqual([-1, 1, -1, 1, -1, 1]);
    expect(low.map(({ changes }) => changes[0]!.closed)).toEqual([false, true, false, true, false, true]);
  });

  it("read the reference exactly where the readout states no digit", () => {
    const silent = {
      ...job,
      kit: {
        ...job.kit,
        readout: { ...job.kit.readout, accuracy: job.kit.readout.accuracy.map((row) => ({ ...row, resolution: 0 })) },
      },
    };
    for (const [point, { reference, begun }] of rampsOf(predictedLog(silent, options)).entries()) {
      const rising = point % 2 === 0;
      for (const [index, time] of reference.times.entries()) {
        const { temperature } = unwrap(temperatureOf(job.kit.reference.sensor, reference.values[index]!));
        const minutes = (time - (point + 0.5) * 3600) / 60;
        expect(temperature).toBeCloseTo(rising ? 90 + 0.5 * minutes : 86.5 - 0.5 * minutes, 9);
      }
      expect(begun.rate).toBe(0.5);
    }
  });

  it("scatter by one digit of the readout about the straight line", () => {
    const { reference } = ramps[0]!;
    const line = (time: number): number => 90 + (0.5 * (time - 1800)) / 60;
    const off = reference.times.map(
      (time, index) =>
        unwrap(temperatureOf(job.kit.reference.sensor, reference.values[index]!)).temperature - line(time),
    );
    // 0.0001 Ω at 0.3805 Ω/K is 0.00026 K; rounding adds a twelfth to the square.
    const deviation = Math.sqrt(off.reduce((sum, value) => sum + value ** 2, 0) / off.length);
    expect(deviation / ((0.0001 / 0.3805) * Math.sqrt(13 / 12))).toBeCloseTo(1, 0);
    expect(Math.max(...off.map(Math.abs))).toBeLessThan((5 * 0.0001) / 0.3805);
  });

  it("leave out a ramp on which the reference has no signal", () => {
    const beyond = predictedLog(rampJob({ sensor: { trip: 900 } }), options);
    expect(beyond.map(({ kind }) => kind)).toEqual(["run-opened", "pass-begun"]);
    // The equation of the reference ends at 850 °C, on the way up only.
    const half = predictedLog(rampJob({ sensor: { trip: 852, deadBand: { minimum: 20, maximum: 30 } } }), options);
    expect(rampsOf(half).map(({ begun }) => begun.point)).toEqual([1, 3, 5]);
  });
});
