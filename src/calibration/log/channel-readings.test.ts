import { describe, expect, it } from "vitest";
import { ChannelReadings } from "./channel-readings.ts";

const block = (n: number, times: number[], values: number[], wire?: string[]) => ({
  kind: "readings-taken" as const,
  n,
  at: times.at(-1)!,
  channel: "reference",
  unit: "Ω" as const,
  times,
  values,
  ...(wire === undefined ? {} : { wire }),
});

describe("readings of a channel", () => {
  const readings = new ChannelReadings([block(3, [1, 2], [10, 20], ["10.0", "20.0"]), block(5, [3, 5], [30, 50])]);

  it("stand in columns and know their line and digits", () => {
    expect([...readings.times]).toEqual([1, 2, 3, 5]);
    expect([...readings.values]).toEqual([10, 20, 30, 50]);
    expect([0, 1, 2, 3].map((index) => readings.eventOf(index))).toEqual([3, 3, 5, 5]);
    expect([readings.wireOf(1), readings.wireOf(2)]).toEqual(["20.0", undefined]);
    expect([0, 1, 2.5, 3, 9].map((time) => readings.firstFrom(time))).toEqual([0, 0, 2, 2, 4]);
  });

  it("are put in order of time, each with its own line, when blocks came late", () => {
    const late = new ChannelReadings([block(3, [4, 5], [40, 50], ["40", "50"]), block(6, [1, 4], [10, 41])]);
    expect([...late.times]).toEqual([1, 4, 4, 5]);
    expect([...late.values]).toEqual([10, 40, 41, 50]);
    expect([0, 1, 2, 3].map((index) => late.eventOf(index))).toEqual([6, 3, 6, 3]);
    expect(late.wireOf(1)).toBe("40");
  });

  it("are rejected by their time, and a time without a reading is told", () => {
    const own = new ChannelReadings([block(3, [1, 2], [10, 20])]);
    expect(own.reject(2)).toBe(true);
    expect(own.reject(1.5)).toBe(false);
    expect([...own.rejected]).toEqual([0, 1]);
  });

  it("have one unit [C1]", () => {
    expect(() => new ChannelReadings([block(3, [1], [10]), { ...block(4, [2], [20]), unit: "mV" }])).toThrow(
      /Line 5 of the log: channel reference is read in mV, before in Ω/,
    );
  });
});
