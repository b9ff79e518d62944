import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { ChannelReadings } from "../log/channel-readings.ts";
import type { MeasuredPoint, PointResult } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, resistor, thermocouple, transmitter } from "./invented-run.test-support.ts";
import { pairReadings } from "./pair-readings.ts";

const first = (run: InventedRun): PointResult => evaluate(run.events).items[0]!.passes[0]!.points[0]!;
const measured = (run: InventedRun): MeasuredPoint => {
  const point = first(run);
  if (point.status !== "measured") throw new Error(JSON.stringify(point));
  return point;
};
const begun = (item: typeof resistor = resistor): InventedRun =>
  new InventedRun(inventedJob({ items: [item] })).begin();

describe("pairing", () => {
  it("takes the reference at the moment of the item, so that a drifting source leaves no error [C4]", () => {
    const point = measured(begun().measure({ point: 0, rampRate: 0.001, delay: 0.7, errors: [0.05] }));
    // Without interpolation the item would seem 0.7 mK too high.
    expect(point.error.value).toBeCloseTo(0.05, 4);
    expect(point.readings).toBe(20);
  });

  it("brackets the ends of the window with readings just outside it, when there are any [C4]", () => {
    const run = begun();
    const at = (times: number[]): number[] => times.map((time) => 100 + 0.01 * time);
    run.readings("reference", "Ω", [98, 100, 102, 104, 106], at([98, 100, 102, 104, 106]), 6);
    run.readings("item-1", "Ω", [99.5, 101.5, 103.5, 105.5], at([99.5, 101.5, 103.5, 105.5]), 6);
    run.add({ kind: "point-measured", pass: "as-found", point: 0, from: 99.5, to: 105.5, at: 106 });
    const point = measured(run);
    expect(point.readings).toBe(4);
    expect(point.referenceSignal.value).toBeCloseTo(100 + 0.01 * 102.5, 9);
  });

  it("does not carry the reference on for longer than one of its steps [C4]", () => {
    const run = begun();
    run.readings("reference", "Ω", [100, 102, 104], [100, 100, 100], 6);
    run.readings("item-1", "Ω", [100, 102, 104, 105, 106.5], [100, 100, 100, 100, 100], 6);
    run.add({ kind: "point-measured", pass: "as-found", point: 0, from: 100, to: 107, at: 107 });
    expect(measured(run).readings).toBe(4);
  });

  it("leaves rejected readings out, of the item and of the reference [C5]", () => {
    const run = begun().measure({ point: 0, count: 6, errors: [0.05] });
    const block = (channel: string) => {
      const event = run.events.find((each) => each.kind === "readings-taken" && each.channel === channel);
      if (event?.kind !== "readings-taken") throw new Error(channel);
      return event;
    };
    block("item-1").values[2] = 250;
    block("reference").values[4] = 90;
    expect(measured(run).error.value).toBeGreaterThan(10);
    run.add({ kind: "reading-rejected", channel: "item-1", time: block("item-1").times[2]!, reason: "spike" });
    run.add({ kind: "reading-rejected", channel: "reference", time: block("reference").times[4]!, reason: "spike" });
    const point = measured(run);
    expect(point.readings).toBe(5);
    expect(point.error.value).toBeCloseTo(0.05, 3);
    expect(evaluate(run.events).warnings).toEqual([]);
  });

  it("warns of a rejection that hits nothing [C5]", () => {
    const run = begun().measure({ point: 0 });
    run.add({ kind: "reading-rejected", channel: "item-1", time: 12.5, reason: "spike" });
    run.add({ kind: "reading-rejected", channel: "nowhere", time: 12.5, reason: "spike" });
    expect(evaluate(run.events).warnings).toEqual([
      expect.stringMatching(/rejects a reading of item-1 at 12\.5 s, but there is none/),
      expect.stringMatching(/rejects a reading of nowhere/),
    ]);
  });

  it("reads the reference junction at the same moment, and adds it as electromotive force [C7]", () => {
    const steady = measured(begun(thermocouple).measure({ point: 0, junction: 20, errors: [0.2] }));
    const warm = measured(begun(thermocouple).measure({ point: 0, junction: 30, errors: [0.2] }));
    expect(warm.error.value).toBeCloseTo(0.2, 2);
    expect(steady.error.value).toBeCloseTo(0.2, 2);
    expect(warm.signal.value).toBeLessThan(steady.signal.value - 0.38);
  });

  it("converts each reading by itself, which the mean of signals would not do [C6]", () => {
    const run = new InventedRun(
      inventedJob({ items: [{ ...thermocouple, coldJunction: { kind: "ice-point" } }] }),
    ).begin();
    run.readings("reference", "Ω", [600, 602], [100.012, 100.012], 4);
    // From IEC 60584-1, type K: 0.000 mV at 0 °C and 4.096 mV at 100 °C; the mean of 2.048 mV would be 50.7 °C.
    run.readings("item-1", "mV", [600, 602], [0, 4.096], 3);
    run.add({ kind: "point-measured", pass: "as-found", point: 0, from: 600, to: 602, at: 602 });
    expect(measured(run).indication.value).toBeCloseTo(50, 1);
  });
});

describe("a reference that is read by hand beside an item on a wire", () => {
  const { reference } = inventedJob().kit;
  const [item] = inventedJob().items;
  const channelOf = (n: number, channel: string, times: number[], values: number[], wire: string[]): ChannelReadings =>
    new ChannelReadings([{ kind: "readings-taken", n, at: times.at(-1)!, channel, unit: "Ω", times, values, wire }]);
  const itemTimes = Array.from({ length: 61 }, (_, index) => 600 + 2 * index);
  const itemValues = itemTimes.map((time) => 100 + 0.001 * (time - 600));
  const input = {
    item: item!,
    reference,
    itemReadings: channelOf(
      7,
      "item-1",
      itemTimes,
      itemValues,
      itemValues.map((value) => value.toFixed(4)),
    ),
    referenceReadings: channelOf(9, "reference", [600, 661, 720], [100, 100.1, 100.1], ["100.0", "100.1", "100.1"]),
    junctionReadings: undefined,
    window: { from: 600, to: 720 },
  };

  it("gives the moments, and the item is brought to them; each keeps its own digit and lines", () => {
    const pairs = unwrap(pairReadings({ ...input, moments: "reference" }));
    expect([...pairs.times]).toEqual([600, 661, 720]);
    // Between 660 s and 662 s the item stood at 100.061 Ω.
    expect([...pairs.itemSignals]).toEqual([
      expect.closeTo(100, 9),
      expect.closeTo(100.061, 9),
      expect.closeTo(100.12, 9),
    ]);
    expect([...pairs.referenceSignals]).toEqual([100, 100.1, 100.1]);
    expect(pairs.referenceDigit.wire).toBeCloseTo(0.1, 12);
    expect(pairs.itemDigit.wire).toBeCloseTo(0.0001, 12);
    expect([pairs.itemOrigin, pairs.referenceOrigin, pairs.junctionOrigin]).toEqual([[7], [9], []]);
    expect([pairs.junction, pairs.junctions]).toEqual([undefined, undefined]);
  });

  it("is interpolated where the item gives the moments", () => {
    const pairs = unwrap(pairReadings(input));
    expect(pairs.times).toHaveLength(61);
    expect(pairs.referenceSignals[1]!).toBeCloseTo(100 + (0.1 * 2) / 61, 9);
    expect(pairs.referenceDigit.wire).toBeCloseTo(0.1, 12);
    expect([pairs.itemOrigin, pairs.referenceOrigin]).toEqual([[7], [9]]);
  });
});

describe("signals that give no temperature flag the point", () => {
  it.each([
    ["a failing loop", transmitter, "mA" as const, 21.5, "loop.failure-signal", /The item TT-303 at 602 s/],
    [
      "a thermocouple out of its range",
      { ...thermocouple, coldJunction: { kind: "ice-point" as const } },
      "mV" as const,
      90,
      "thermometry.out-of-range",
      /The item TT-101/,
    ],
    ["an open Pt100", resistor, "Ω" as const, 9.9e37, "thermometry.out-of-range", /The item TT-202/],
  ])("%s [C6]", (_, item, unit, bad, code, words) => {
    const run = new InventedRun(inventedJob({ items: [item] })).begin();
    run.readings("reference", "Ω", [600, 602, 604], [100, 100, 100]);
    run.readings("item-1", unit, [600, 602, 604], [unit === "Ω" ? 100 : 4.2, bad, unit === "Ω" ? 100 : 4.2], null);
    run.add({ kind: "point-measured", pass: "as-found", point: 0, from: 600, to: 604, at: 604 });
    expect(first(run)).toMatchObject({ status: "flagged", code, reason: expect.stringMatching(words) });
    expect(evaluate(run.events).items[0]!.passes[0]!.decision).toBeNull();
  });

  it("a failing reference does [C6]", () => {
    const run = begun();
    run.readings("reference", "Ω", [600, 602], [100, 9000]);
    run.readings("item-1", "Ω", [600, 602], [100, 100]);
    run.add({ kind: "point-measured", pass: "as-found", point: 0, from: 600, to: 602, at: 602 });
    expect(first(run)).toMatchObject({ status: "flagged", reason: expect.stringMatching(/^The reference at 602 s/) });
  });

  it("so does a channel without readings, in another unit, or with one pair [C6]", () => {
    const window = { kind: "point-measured", pass: "as-found", point: 0, from: 600, to: 604, at: 604 } as const;
    const none = begun();
    none.readings("reference", "Ω", [600, 602], [100, 100]);
    none.add(window);
    expect(first(none)).toMatchObject({
      status: "flagged",
      reason: expect.stringMatching(/no readings of the channel item-1/),
    });
    const other = begun();
    other.readings("reference", "Ω", [600, 602], [100, 100]);
    other.readings("item-1", "mV", [600, 602], [1, 1]);
    other.add(window);
    expect(first(other)).toMatchObject({
      status: "flagged",
      reason: expect.stringMatching(/read in mV, but Ω is needed/),
    });
    const single = begun();
    single.readings("reference", "Ω", [600, 602], [100, 100]);
    single.readings("item-1", "Ω", [601], [100]);
    single.add(window);
    expect(first(single)).toMatchObject({ status: "flagged", reason: expect.stringMatching(/Only 1 reading/) });
  });

  it("so does a thermocouple whose reference junction nobody knows, or whose junction has no readings [C7]", () => {
    const { coldJunction: _, ...bare } = thermocouple;
    const unknown = new InventedRun(inventedJob({ items: [bare] })).begin().measure({ point: 0 });
    expect(first(unknown)).toMatchObject({
      status: "flagged",
      reason: expect.stringMatching(/reference junction of TT-101 is not known/),
    });
    const silent = begun(thermocouple).measure({ point: 0 });
    const events = silent.events
      .filter((event) => !(event.kind === "readings-taken" && event.channel === "junction"))
      .map((event, n) => ({ ...event, n }));
    expect(evaluate(events as typeof silent.events).items[0]!.passes[0]!.points[0]).toMatchObject({
      status: "flagged",
      reason: expect.stringMatching(/channel junction/),
    });
  });
});
