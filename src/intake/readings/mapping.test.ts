import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Job } from "#calibration";
import { unwrap } from "#fault";
import { loadJob } from "../job/load-job.ts";
import { readCsvSheet, type Sheet } from "./csv-table.ts";
import { logFromReadings } from "./log-from-readings.ts";
import { readingsMappingSchema, shapeOf, type ReadingsMapping } from "./mapping.ts";
import { readReadings, readReadingsCsv } from "./read-readings.ts";
import { readXlsxSheet } from "./xlsx-sheet.ts";

const root = new URL("../../../", import.meta.url);
const bytes = (path: string) => readFileSync(new URL(path, root));
const job: Job = unwrap(loadJob(bytes("examples/recorded-elsewhere/job.yaml").toString("utf8"), "job.yaml"));
const workbook = bytes("test/fixtures/readings/wide.xlsx");

const mapping = (written: object): ReadingsMapping => readingsMappingSchema.parse(written);
const wide = mapping({
  names: 2,
  time: "Datum/Zeit",
  zone: "+01:00",
  point: "Punkt",
  channels: { "Referenz (Ohm)": { channel: "reference" }, Prüfling: { channel: "item-1" } },
});
const csv = (text: string): Sheet => unwrap(readCsvSheet(text, "r.csv"));
const read = (sheet: Sheet, by: ReadingsMapping) => readReadings(sheet, { job, name: "r.csv", mapping: by });

describe("a workbook with a column for each channel", () => {
  it("gives the same readings and the same log as the CSV that it was made from", async () => {
    const sheet = unwrap(await readXlsxSheet(workbook, "wide.xlsx"));
    const readings = unwrap(readReadings(sheet, { job, name: "wide.xlsx", mapping: wide }));
    const plain = unwrap(
      readReadingsCsv(bytes("examples/recorded-elsewhere/readings.csv").toString("utf8"), { job, name: "wide.xlsx" }),
    );
    const shown = (rows: typeof readings.rows) =>
      rows.map(({ time, channel, value, unit, pass, point }) => ({ time, channel, value, unit, pass, point }));
    expect(readings.start).toBe(plain.start);
    expect(shown(readings.rows)).toEqual(shown(plain.rows));
    expect(readings.unusedColumns).toEqual(["Bemerkung"]);
    const log = (of: typeof readings) =>
      unwrap(
        logFromReadings({
          job,
          readings: of,
          run: "r",
          opened: null,
          software: { name: "dwellpoint", version: "0" },
          catalog: [],
        }),
      ).map((event) => ("wire" in event ? { ...event, wire: null } : event));
    expect(log(readings)).toEqual(log(plain));
  });

  it("without a zone its times are refused, since a workbook knows none", async () => {
    const sheet = unwrap(await readXlsxSheet(workbook, "wide.xlsx"));
    const { zone: _zone, ...without } = wide;
    expect(readReadings(sheet, { job, name: "wide.xlsx", mapping: without })).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining("does not say its time zone") },
    });
  });

  it("a sheet that is not there, and a file that is no workbook, are said", async () => {
    expect(await readXlsxSheet(workbook, "wide.xlsx", "Other")).toMatchObject({
      ok: false,
      fault: { code: "input.malformed", message: expect.stringContaining('no sheet "Other". It has: Log') },
    });
    for (const strange of [new Uint8Array(), Buffer.from("time,channel"), Buffer.from("PK\u0003\u0004 and no more")]) {
      expect(await readXlsxSheet(strange, "x.xlsx")).toMatchObject({ ok: false, fault: { code: "input.malformed" } });
    }
  });
});

describe("a mapping", () => {
  it("takes a date and a time of day from two columns, the day first, a decimal comma, names of another tongue", () => {
    const sheet = csv(
      [
        "Tag;Uhrzeit;Kanal;Wert;Punkt",
        "24.11.2026;9:20:00;Ref;100,011;1",
        "24.11.2026;9:20:01;Prüfling;100,035;1",
        "24.11.2026;9:20:10;Ref;100,013;1",
        "24.11.2026;9:20:11;Prüfling;100,037;1",
      ].join("\n"),
    );
    const readings = unwrap(
      read(
        sheet,
        mapping({
          date: "Tag",
          time: "uhrzeit",
          order: "day-first",
          zone: "Z",
          channel: "Kanal",
          channelNames: { Ref: "reference", Prüfling: "item-1" },
          value: "Wert",
          point: "Punkt",
        }),
      ),
    );
    expect(readings.start).toBe("2026-11-24T09:20:00.000Z");
    expect(readings.rows.map(({ time, channel, digits, unit }) => [time, channel, digits, unit])).toEqual([
      [0, "reference", "100.011", "Ω"],
      [1, "item-1", "100.035", "Ω"],
      [10, "reference", "100.013", "Ω"],
      [11, "item-1", "100.037", "Ω"],
    ]);
  });

  it("that speaks of a column that is not there says which there are", () => {
    const sheet = csv("Zeit,Ref,Item\n0,100,100\n");
    const by = mapping({
      time: "Zeit",
      channels: { Reff: { channel: "reference" }, Item: { channel: "item-1" } },
    });
    expect(read(sheet, by)).toMatchObject({
      ok: false,
      fault: { message: 'r.csv:1: the mapping speaks of a column "Reff", which is not here. Did you mean "Ref"?' },
    });
  });

  it("names each bad cell with its line in the file", () => {
    const sheet = csv("Zeit,Ref,Item\n0,100,100\n5,abc,100\n10,100,\n");
    const by = mapping({ time: "Zeit", channels: { Ref: { channel: "reference" }, Item: { channel: "item-1" } } });
    expect(read(sheet, by)).toMatchObject({
      ok: false,
      fault: { data: { count: 1, fields: [{ line: 3, path: "value" }] } },
    });
  });

  it.each([
    [{ time: "t" }],
    [{ time: "t", channel: "c" }],
    [{ time: "t", channel: "c", value: "v", channels: { a: { channel: "b" } } }],
    [{ time: "t", channels: {}, zone: "CET" }],
  ])("%j is none", (written) => {
    expect(readingsMappingSchema.safeParse(written).success).toBe(false);
  });
});

describe("the shape of a file", () => {
  it("is that of its column names, whatever their case, the readings, or what stands above", () => {
    const shape = shapeOf(csv("Zeit,Ref,Item\n0,1,2\n"));
    expect(shapeOf(csv("Recorder 7\nZEIT,ref,Item\n5,6,7\n8,9,10\n"))).toBe(shape);
    expect(shapeOf(csv("Ref,Zeit,Item\n0,1,2\n"))).not.toBe(shape);
    expect(shape).toMatch(/^[0-9a-f]{16}$/);
  });
});

it("readings in a unit from which only the point is moved keep the digits that were read", () => {
  const sheet = csv("t;Ref;TT-221\n0;0,1000110;100,035\n10;0,1000130;100,037\n");
  const by = mapping({
    time: "t",
    channels: { Ref: { channel: "reference", unit: "kΩ" }, "TT-221": { channel: "item-1" } },
  });
  const readings = unwrap(read(sheet, by));
  expect(readings.rows.map(({ channel, digits, value, unit }) => [channel, digits, value, unit])).toEqual([
    ["reference", "100.0110", 100.011, "Ω"],
    ["item-1", "100.035", 100.035, "Ω"],
    ["reference", "100.0130", 100.013, "Ω"],
    ["item-1", "100.037", 100.037, "Ω"],
  ]);
  const volts = mapping({ ...by, channels: { ...by.channels, Ref: { channel: "reference", unit: "V" } } });
  expect(read(sheet, volts)).toMatchObject({
    ok: false,
    fault: { message: expect.stringContaining('is read in Ω, not in "V"') },
  });
});
