import { describe, expect, it } from "vitest";
import { inventedJob, transmitter } from "../evaluate/invented-run.test-support.ts";
import { channelSchema, type Job } from "./job.ts";
import { displayRead, isTyped, readByHand, readingsByHand, typedResolution, wiredChannels } from "./typed-channel.ts";

const base = inventedJob();
const withChannels = (channels: Job["bench"]["channels"]): Job => ({
  ...base,
  bench: { ...base.bench, channels: { ...base.bench.channels, ...channels } },
});
const typed = (change: object = {}) => ({ typed: true as const, unit: "Ω" as const, ...change });

describe("a channel that a person types", () => {
  it("is kept as it was written; without the word it is wired", () => {
    for (const channel of [typed(), typed({ resolution: 0.5, display: "source" })])
      expect(channelSchema.parse(channel)).toEqual(channel);
    expect(channelSchema.parse({ instrument: "a", unit: "Ω" })).toEqual({ instrument: "a", input: 1, unit: "Ω" });
    expect(channelSchema.parse({ typed: false, instrument: "a", input: 3, unit: "Ω" })).toMatchObject({ input: 3 });
    for (const wrong of [
      typed({ resolution: 0 }),
      typed({ display: "clock" }),
      typed({ instrument: "a" }),
      { unit: "Ω" },
    ])
      expect(channelSchema.safeParse(wrong).success).toBe(false);
  });

  it("is known by its name alone", () => {
    const job = withChannels({ "item-1": typed() });
    expect([isTyped(job.bench, "item-1"), isTyped(job.bench, "reference"), isTyped(job.bench, "nowhere")]).toEqual([
      true,
      false,
      false,
    ]);
    // A name that every object has is no channel.
    expect(isTyped(job.bench, "constructor")).toBe(false);
    expect(Object.keys(wiredChannels(job.bench))).toEqual(["reference", "junction", "shown"]);
    expect(wiredChannels(job.bench)["reference"]).toBe(job.bench.channels["reference"]);
  });

  it("shows the readout's display, an indication the item's own, or what the job says", () => {
    expect(displayRead(withChannels({ "item-1": typed() }), "item-1")).toBe("readout");
    expect(displayRead(withChannels({ "item-1": typed({ display: "source" }) }), "item-1")).toBe("source");
    const shown = inventedJob({
      items: [{ ...transmitter, sensor: { kind: "indication" }, channel: "shown", unit: "°C" }],
    });
    expect(displayRead(shown, "shown")).toBe("item");
    expect(displayRead(shown, "reference")).toBe("readout");
  });

  it("makes an item's pairs ones by hand, on its own side or the reference's", () => {
    const item = { channel: "item-1" };
    expect(readByHand(base, item)).toBe(false);
    expect(readByHand(withChannels({ "item-1": typed() }), item)).toBe(true);
    expect(readByHand(withChannels({ reference: typed() }), item)).toBe(true);
    expect(readByHand(withChannels({ shown: typed() }), item)).toBe(false);
  });

  it("has the step that its reader reads, where it is said", () => {
    expect(typedResolution(withChannels({ "item-1": typed({ resolution: 0.5 }) }), "item-1")).toBe(0.5);
    expect(typedResolution(withChannels({ "item-1": typed() }), "item-1")).toBe(0);
    expect(typedResolution(base, "item-1")).toBe(0);
    expect(typedResolution(base, "nowhere")).toBe(0);
  });

  it("is read six times a minute apart where the procedure says nothing", () => {
    expect(readingsByHand(base)).toEqual({ count: 6, interval: 60 });
    const readings = { count: 4, interval: 30 };
    expect(readingsByHand({ procedure: { ...base.procedure, readingsByHand: readings } })).toEqual(readings);
  });
});
