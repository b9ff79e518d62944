import { describe, expect, it } from "vitest";
import {
  inventedJob,
  inventedKit,
  resistor,
  thermocouple,
  transmitter,
} from "../evaluate/invented-run.test-support.ts";
import type { Job, JobInput } from "../job/job.ts";
import type { RunEvent, RunEventOf } from "../log/events.ts";
import { parseLog } from "../log/parse-log.ts";
import { predictedLog } from "./predicted-log.ts";

const options = { day: "2026-07-12", target: () => 0.1 };

const blocksOf = (log: readonly RunEvent[], channel: string): RunEventOf<"readings-taken">[] =>
  log.filter(
    (event): event is RunEventOf<"readings-taken"> => event.kind === "readings-taken" && event.channel === channel,
  );
const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const deviationOf = (values: readonly number[]): number => {
  const middle = meanOf(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1));
};
const isMultiple = (value: number, digit: number): boolean =>
  Math.abs(value / digit - Math.round(value / digit)) < 1e-6;

const jobOf = (changes: Partial<JobInput>, procedure: Partial<JobInput["procedure"]> = {}): Job => {
  const base = inventedJob(changes);
  return { ...base, procedure: { ...base.procedure, ...procedure } as Job["procedure"] };
};
const withRows = (accuracy: JobInput["kit"]["readout"]["accuracy"]): Partial<JobInput> => ({
  kit: { ...inventedKit, readout: { ...inventedKit.readout, accuracy } },
});

describe("the foreseen log of points at rest", () => {
  it("commands, settles, reads and measures every point, half an hour apart", () => {
    const asked: [string, number][] = [];
    const job = jobOf(
      { items: [resistor, { ...transmitter, channel: "item-2" }] },
      { readings: { count: 3, interval: 5 } },
    );
    const log = predictedLog(job, {
      day: "2026-07-12",
      target: (item, temperature) => {
        asked.push([item.id, temperature]);
        return item.id === "item-pt" ? 0.08 : 0.2;
      },
    });
    expect(parseLog(log.map((event) => JSON.stringify(event)))).toEqual(log);
    expect(asked).toEqual([
      ["item-pt", 0],
      ["item-loop", 0],
      ["item-pt", 100],
      ["item-loop", 100],
    ]);
    expect(ofKind(log, "set-point-commanded")).toMatchObject([
      { at: 0, point: 0, temperature: 0 },
      { at: 1800, point: 1, temperature: 100 },
    ]);
    // Read a quarter of an hour after the command, five seconds apart: 900, 905 and 910 s.
    expect(blocksOf(log, "reference").map(({ times, at }) => [...times, at])).toEqual([
      [900, 905, 910, 910],
      [2700, 2705, 2710, 2710],
    ]);
    expect(ofKind(log, "point-measured")).toMatchObject([
      { from: 900, to: 910, at: 910, point: 0 },
      { from: 2700, to: 2710, at: 2710, point: 1 },
    ]);
    // A quarter of the target is still missing; the shortest window of judgement (120 s) ends where the reading begins.
    expect(ofKind(log, "point-settled").map(({ at, item, evidence }) => [at, item, evidence])).toEqual(
      [900, 2700].flatMap((at) =>
        [["item-pt", 0.08] as const, ["item-loop", 0.2] as const].map(([item, target]) => [
          at,
          item,
          {
            from: at - 120,
            to: at,
            estimate: 0,
            remainder: target / 4,
            standardUncertainty: 0,
            slope: 0,
            slopeStandardError: 0,
            autocorrelation: 0,
            target,
          },
        ]),
      ),
    );
  });

  it("reads a thermocouple with its junction at the ambient temperature, or in ice", () => {
    const iced = { ...thermocouple, id: "item-ice", channel: "item-2", coldJunction: { kind: "ice-point" as const } };
    const twin = { ...thermocouple, id: "item-twin", channel: "item-3" };
    const log = predictedLog(jobOf({ items: [thermocouple, iced, twin] }), options);
    // IEC 60584-1, type K: 4.096 mV at 100 °C and 0.879 mV at 22 °C, the ambient temperature of the job.
    expect(meanOf(blocksOf(log, "item-1")[1]!.values)).toBeCloseTo(4.096 - 0.879, 3);
    expect(meanOf(blocksOf(log, "item-2")[1]!.values)).toBeCloseTo(4.096, 3);
    expect(meanOf(blocksOf(log, "item-3")[1]!.values)).toBeCloseTo(4.096 - 0.879, 3);
    // One channel, read once at each point, however many items use it; its digit is 0.01 °C.
    const junctions = blocksOf(log, "junction");
    expect(junctions).toHaveLength(2);
    for (const { values, unit } of junctions) {
      expect(unit).toBe("°C");
      expect(Math.abs(meanOf(values) - 22)).toBeLessThan(0.01);
      for (const value of values) expect(isMultiple(value, 0.01)).toBe(true);
    }
    expect(blocksOf(predictedLog(jobOf({ items: [iced] }), options), "junction")).toEqual([]);
    expect(blocksOf(predictedLog(jobOf({}), options), "junction")).toEqual([]);
  });

  it("leaves out the readings of a sensor that has no signal at a temperature", () => {
    const job = jobOf({}, { points: [{ temperature: 0 }, { temperature: 900 }] });
    const log = predictedLog(job, options);
    expect(blocksOf(log, "reference")).toHaveLength(1);
    expect(blocksOf(log, "item-1")).toHaveLength(1);
    expect(ofKind(log, "point-measured")).toHaveLength(2);
    expect(parseLog(log.map((event) => JSON.stringify(event)))).toEqual(log);
  });

  it("neither repeats the first point nor makes the closing check", () => {
    const job = jobOf({}, { repeatFirst: true, closingCheck: { kind: "first-point", limit: 0.1 } });
    const log = predictedLog(job, options);
    expect(ofKind(log, "point-measured").map(({ point }) => point)).toEqual([0, 1]);
    const [opened] = ofKind(log, "run-opened");
    expect(opened!.opened).toBe("2026-07-12T00:00:00Z");
    expect(opened!.job.procedure.repeatFirst).toBeUndefined();
    expect(opened!.job.procedure.closingCheck).toBeUndefined();
  });
});

describe("digits of the foreseen readings", () => {
  const many = { readings: { count: 4000, interval: 0.1 } };

  it("are those of the nearest row of the readout that reaches the signal, its end included", () => {
    const rows = withRows([
      { unit: "mV", absolute: 1, resolution: 0.5 },
      { unit: "Ω", absolute: 0.01, resolution: 0.1 },
      { unit: "Ω", upTo: 400, absolute: 0.01, resolution: 0.001 },
      { unit: "Ω", upTo: 100, absolute: 0.01, resolution: 0.01 },
    ]);
    const [at0, at100] = blocksOf(predictedLog(jobOf(rows, many), options), "item-1");
    // 100 Ω at 0 °C, exactly the end of the first row of its unit; 138.5055 Ω at 100 °C (IEC 60751).
    expect(at0!.values.every((value) => isMultiple(value, 0.01))).toBe(true);
    expect(at100!.values.every((value) => isMultiple(value, 0.001))).toBe(true);
    expect(at100!.values.every((value) => isMultiple(value, 0.01))).toBe(false);
    expect(Math.abs(meanOf(at100!.values) - 138.5055)).toBeLessThan(0.0001);
  });

  it("count the size of a signal below nothing, not its sign", () => {
    const rows = withRows([
      { unit: "Ω", upTo: 400, absolute: 0.01, resolution: 0.001 },
      { unit: "mV", upTo: 0.5, absolute: 0.01, resolution: 0.1 },
      { unit: "mV", absolute: 0.01, resolution: 0.001 },
    ]);
    const iced = { ...thermocouple, coldJunction: { kind: "ice-point" as const } };
    const job = jobOf({ items: [iced], ...rows }, { ...many, points: [{ temperature: -20 }] });
    const [block] = blocksOf(predictedLog(job, options), "item-1");
    // IEC 60584-1, type K: −0.778 mV at −20 °C.
    expect(meanOf(block!.values)).toBeCloseTo(-0.778, 3);
    expect(block!.values.some((value) => !isMultiple(value, 0.1))).toBe(true);
  });

  it("scatter by one digit: a normal deviate of one digit, rounded, is √(1 + 1/12) digits", () => {
    const [block] = blocksOf(predictedLog(jobOf({}, many), options), "item-1");
    // Of 4000 readings the standard deviation is known to 1/√8000 = 1.1 %.
    expect(deviationOf(block!.values) / 0.0001 / Math.sqrt(13 / 12)).toBeCloseTo(1, 1);
  });

  it("are a ten-millionth of the signal where none is stated, or of one where the signal is smaller", () => {
    const rows = withRows([
      { unit: "Ω", absolute: 0.01 },
      { unit: "mV", absolute: 0.01 },
    ]);
    const [of100] = blocksOf(predictedLog(jobOf(rows, many), options), "item-1");
    expect(deviationOf(of100!.values) / 1e-5 / Math.sqrt(13 / 12)).toBeCloseTo(1, 1);
    const iced = { ...thermocouple, coldJunction: { kind: "ice-point" as const } };
    const [of0] = blocksOf(predictedLog(jobOf({ items: [iced], ...rows }, many), options), "item-1");
    expect(Math.abs(meanOf(of0!.values))).toBeLessThan(1e-8);
    expect(deviationOf(of0!.values) / 1e-7 / Math.sqrt(13 / 12)).toBeCloseTo(1, 1);
    // A unit of which the readout says nothing is as fine.
    const silent = withRows([{ unit: "mV", absolute: 0.01, resolution: 1 }]);
    const [unsaid] = blocksOf(predictedLog(jobOf(silent, many), options), "item-1");
    expect(deviationOf(unsaid!.values) / 1e-5 / Math.sqrt(13 / 12)).toBeCloseTo(1, 1);
  });
});
