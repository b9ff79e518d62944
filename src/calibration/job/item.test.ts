import { describe, expect, it } from "vitest";
import { coldJunctionSchema, identifierSchema, itemContributionsSchema, itemSchema, toleranceSchema } from "./item.ts";
import { inventedJob, resistor } from "../evaluate/invented-run.test-support.ts";
import { closingCheckSchema } from "./closing-check.ts";
import { historySchema } from "./history.ts";

describe("an identifier", () => {
  it.each(["a", "7", "TT-101", "a.b_c-d", "x".repeat(64)])("may be %s", (text) => {
    expect(identifierSchema.parse(text)).toBe(text);
  });
  it.each(["", " a", "a b", "a ", "-a", "_a", ".a", "a/b", "é", "x".repeat(65)])("may not be %j", (text) => {
    expect(identifierSchema.safeParse(text).success).toBe(false);
  });
});

describe("an item", () => {
  const issuePath = (change: object): string | undefined =>
    itemSchema.safeParse({ ...resistor, ...change }).error?.issues[0]?.path.join(".");

  it("is kept as it was written, defaults written out", () => {
    expect(itemSchema.parse(resistor)).toEqual({ ...resistor, contributions: {} });
    const full = {
      ...resistor,
      model: "M1",
      place: "line 3",
      condition: "clean",
      coldJunction: { kind: "channel", channel: "junction", halfWidth: 0.2 },
      indicationResolution: 0.1,
      range: { lower: -20, upper: 150 },
      diameter: 6,
      immersion: 150,
      contributions: { inhomogeneity: 0.1, ambient: [{ temperature: 0, value: 0.2 }] },
    };
    expect(itemSchema.parse(full)).toEqual(full);
  });

  it("has the texts on its plate without blanks around them, and not none at all", () => {
    expect(itemSchema.parse({ ...resistor, tag: "  TT-1 " }).tag).toBe("TT-1");
    expect(issuePath({ tag: "   " })).toBe("tag");
    expect(issuePath({ description: "" })).toBe("description");
  });

  it.each([
    ["indicationResolution", { indicationResolution: 0 }],
    ["diameter", { diameter: 0 }],
    ["immersion", { immersion: -1 }],
    ["unit", { unit: "V" }],
    ["limits.maximum", { limits: { minimum: 0 } }],
    ["range.upper", { range: { lower: 0 } }],
    ["contributions", { contributions: { wind: 1 } }],
    ["contributions.leads", { contributions: { leads: -0.1 } }],
    ["", { colour: "red" }],
  ])("is refused at %s", (path, change) => expect(issuePath(change)).toBe(path));

  it("may declare each contribution by itself", () => {
    for (const name of Object.keys(itemContributionsSchema.shape))
      expect(itemContributionsSchema.parse({ [name]: 0.02 })).toEqual({ [name]: 0.02 });
    expect(Object.keys(itemContributionsSchema.shape)).toHaveLength(8);
  });
});

describe("a tolerance", () => {
  const table = (...rows: readonly [number, number][]) => ({
    kelvinTable: rows.map(([temperature, kelvin]) => ({ temperature, kelvin })),
  });

  it.each([
    [{ class: "iec-60751/A", construction: "film" }],
    [{ kelvin: 1, percentOfReading: 0.1, percentOfSpan: 0.2, combine: "sum" }],
    [table([0, 0.1], [100, 0.2], [200, 0.1])],
    [{ ...table([0, 0.1], [100, 0.2]), combine: "larger" }],
  ])("may be %j", (tolerance) => expect(toleranceSchema.parse(tolerance)).toEqual(tolerance));

  it.each([
    ["nothing", { combine: "sum" }],
    ["no width", { kelvin: 0 }],
    ["a class and figures", { class: "iec-60751/A", percentOfReading: 1 }],
    ["a class and % of span", { class: "iec-60751/A", percentOfSpan: 1 }],
    ["a class and a table", { class: "iec-60751/A", ...table([0, 0.1], [100, 0.2]) }],
    ["a class that is none", { class: "iec-60751/D" }],
    ["a table of one row", table([0, 0.1])],
    ["a table that falls", table([0, 0.1], [100, 0.2], [50, 0.3])],
    ["a table with a temperature twice", table([0, 0.1], [0, 0.2])],
    ["a table without width", table([0, 0], [100, 0.2])],
  ])("may not be %s", (_, tolerance) => expect(toleranceSchema.safeParse(tolerance).success).toBe(false));
});

describe("a reference junction", () => {
  it("in ice is good to ±0.05 K where nothing is said; one on a channel must say it", () => {
    expect(coldJunctionSchema.parse({ kind: "ice-point" })).toEqual({ kind: "ice-point", halfWidth: 0.05 });
    expect(coldJunctionSchema.parse({ kind: "ice-point", halfWidth: 0 }).halfWidth).toBe(0);
    const read = { kind: "channel", channel: "junction", halfWidth: 0.2 };
    expect(coldJunctionSchema.parse(read)).toEqual(read);
    expect(coldJunctionSchema.safeParse({ kind: "channel", channel: "junction" }).success).toBe(false);
    expect(coldJunctionSchema.safeParse({ ...read, halfWidth: -0.1 }).success).toBe(false);
    expect(coldJunctionSchema.safeParse({ kind: "oven" }).success).toBe(false);
  });
});

describe("a closing check", () => {
  const thermometer = {
    kind: "check-thermometer",
    temperature: 20,
    description: "check probe",
    serial: "7",
    certificate: "C-1",
    uncertainty: 0.05,
    limit: 0.1,
  };

  it("is kept as it was written, defaults written out", () => {
    expect(closingCheckSchema.parse({ kind: "ice-point", limit: 0.1 })).toEqual({
      kind: "ice-point",
      halfWidth: 0.01,
      limit: 0.1,
    });
    expect(closingCheckSchema.parse(thermometer)).toEqual({ ...thermometer, k: 2 });
    expect(closingCheckSchema.parse({ ...thermometer, k: 3, channel: "check" })).toMatchObject({
      k: 3,
      channel: "check",
    });
    expect(closingCheckSchema.parse({ kind: "first-point", limit: 0.2 })).toEqual({ kind: "first-point", limit: 0.2 });
  });

  it.each([
    [{ kind: "ice-point" }],
    [{ kind: "ice-point", limit: 0 }],
    [{ kind: "ice-point", limit: 0.1, halfWidth: -0.01 }],
    [{ kind: "first-point", limit: -1 }],
    [{ kind: "first-point", limit: 1, halfWidth: 1 }],
    [{ ...thermometer, uncertainty: 0 }],
    [{ ...thermometer, k: 0 }],
    [{ ...thermometer, serial: " " }],
  ])("may not be %j", (plan) => expect(closingCheckSchema.safeParse(plan).success).toBe(false));

  it("has its texts without blanks around them", () => {
    expect(closingCheckSchema.parse({ ...thermometer, serial: " 7 " })).toMatchObject({ serial: "7" });
  });
});

describe("a history", () => {
  const error = { date: "2025-07-01", error: -0.1, u: 0.02 };
  const history = {
    item: "item-pt",
    of: "class",
    source: "records",
    errors: [error, { ...error, temperature: 100, source: "C-7" }],
  };

  it("is kept as it was written", () => {
    expect(historySchema.parse(history)).toEqual(history);
    expect(historySchema.parse({ ...history, source: " records " }).source).toBe("records");
    expect(inventedJob({ history: [historySchema.parse(history)] }).history).toEqual([history]);
  });

  it.each([
    [{ ...history, errors: [] }],
    [{ ...history, of: "all" }],
    [{ ...history, source: "" }],
    [{ ...history, errors: [{ ...error, u: -1 }] }],
    [{ ...history, errors: [{ ...error, date: "1 July 2025" }] }],
  ])("may not be %j", (wrong) => expect(historySchema.safeParse(wrong).success).toBe(false));
});
