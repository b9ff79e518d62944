import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap, type FaultValue } from "#fault";
import type { FieldError } from "../document/field-error.ts";
import { loadJob } from "../job/load-job.ts";
import { readReadingsCsv } from "./read-readings.ts";
import type { Readings } from "./readings.ts";

const folder = new URL("../../../examples/recorded-elsewhere/", import.meta.url);
const job = unwrap(loadJob(readFileSync(new URL("job.yaml", folder), "utf8"), "job.yaml"));
const thermocouple = unwrap(loadJob(readFileSync(new URL("../type-k-thermocouple.yaml", folder), "utf8"), "k.yaml"));

const read = (text: string): Readings => unwrap(readReadingsCsv(text, { job, name: "r.csv" }));

const refusal = (text: string, other = job): FaultValue => {
  const outcome = readReadingsCsv(text, { job: other, name: "r.csv" });
  if (outcome.ok) throw new Error("was accepted");
  return outcome.fault;
};

const said = (text: string): string[] =>
  (refusal(text).data!.fields as FieldError[]).map(({ line, path, message }) => `${line} ${path}: ${message}`);

const header = "time,channel,value,unit,pass,point";
/** A sound pair of readings before the rows in question. */
const table = (...rows: string[]): string =>
  [header, "0,reference,100.011,Ω,as-found,1", "1,item-1,100.035,Ω,as-found,1", ...rows].join("\n");

describe("readings from a file", () => {
  it("keep their digits and their lines, and count seconds", () => {
    const readings = read(table("10,reference,100.010,Ω,as-found,1"));
    expect(readings).toMatchObject({ name: "r.csv", start: null, hasPoints: true, unusedColumns: [] });
    expect(readings.rows[2]).toEqual({
      line: 4,
      time: 10,
      channel: "reference",
      value: 100.01,
      digits: "100.010",
      unit: "Ω",
      pass: "as-found",
      point: 0,
    });
  });

  it("may hold dates and times with their zone, the first of all being time 0", () => {
    const readings = read(
      `${header}\n2026-03-31T10:00:00.250+01:00,reference,100,Ω,,\n2026-03-31T09:00:01Z,item-1,100,Ω,,\n2026-03-31 08:30:02-0030,item-1,100,Ω,,`,
    );
    expect(readings.start).toBe("2026-03-31T09:00:00.250Z");
    expect(readings.rows.map(({ time }) => time)).toEqual([0, 0.75, 1.75]);
  });

  it.each([
    ["semicolons and decimal commas", "time;channel;value;unit\n0;reference;100,011;Ω\n0,5;item-1;100,0350;Ω"],
    ["tabs and decimal commas", "time\tchannel\tvalue\tunit\n0\treference\t100,011\tΩ\n0,5\titem-1\t100,0350\tΩ"],
    ["commas and decimal points", "time,channel,value,unit\n0,reference,100.011,Ω\n0.5,item-1,100.0350,Ω"],
    [
      "quotes, spaces, empty lines, a byte order mark and other line ends",
      '\uFEFF\r\n"Time" , Channel,VALUE,Unit\r\n\r\n0, reference ,"100.011",ohm\r\n0.5,item-1,100.0350,\u2126\r\n,,,\r\n',
    ],
    ["columns in another order", "unit,value,channel,time\nΩ,100.011,reference,0\nOhm,100.0350,item-1,0.5"],
  ])("may be written with %s", (_, text) => {
    expect(
      read(text).rows.map(({ time, channel, value, digits, unit }) => [time, channel, value, digits, unit]),
    ).toEqual([
      [0, "reference", 100.011, "100.011", "Ω"],
      [0.5, "item-1", 100.035, "100.0350", "Ω"],
    ]);
  });

  it("name the columns that were not used", () => {
    expect(read("time,channel,value,unit,remark\n0,reference,100,Ω,warm\n0,item-1,100,Ω,").unusedColumns).toEqual([
      "remark",
    ]);
  });

  it("count to a point by its number, its temperature, or neither", () => {
    const readings = read(
      table(
        "10,reference,100,Ω,,60",
        "11,reference,100,Ω,,60.0 °C",
        "12,reference,100,Ω,,3",
        "13,reference,100,Ω,,",
        "14,reference,100,Ω,As Found,120°C",
      ),
    );
    expect(readings.rows.slice(2).map(({ point }) => point)).toEqual([1, 1, 2, null, 2]);
  });

  it("of the example are all taken", () => {
    const readings = read(readFileSync(new URL("readings.csv", folder), "utf8"));
    expect(readings.rows).toHaveLength(90);
    expect(readings.start).toBe("2026-11-24T09:04:00.000Z");
  });
});

describe("a file that is no table of readings", () => {
  it.each([
    [
      "an empty file",
      "",
      "r.csv:1: the file is empty. The first line names the columns: time, channel, value, unit; if wanted pass and point.",
    ],
    ["names alone", `${header}\n`, "r.csv:1: there are no readings below the names of the columns."],
    [
      "no names",
      "0,reference,100,Ω\n1,item-1,100,Ω",
      'r.csv:1: no column "time", "channel", "value", "unit". The first line names the columns: time, channel, value, unit; if wanted pass and point.',
    ],
    [
      "a name misspelt",
      "time,chanel,value,unit\n0,reference,100,Ω",
      'r.csv:1: no column "channel". Found "chanel". Did you mean "channel"?',
    ],
    [
      "a name twice",
      "time,channel,value,unit,Value\n0,reference,100,Ω,1",
      'r.csv:1: the column "value" stands twice. Keep one of the two.',
    ],
    [
      "an open quote",
      `${header}\n0,"reference,100,Ω,,\n1,item-1,100,Ω,,`,
      "a quote is not closed, or stands in the middle of a cell. Put the whole cell in quotes, and double a quote inside it.",
    ],
    ["bytes", `${header}\n0,\u0000`, "r.csv:2: this is not a text file. Save it as CSV, UTF-8."],
    [
      "another encoding",
      `${header}\n0,reference,100,\uFFFD,,`,
      "r.csv:2: a character here cannot be read. Save the file as CSV, UTF-8.",
    ],
  ])("%s", (_, text, message) => {
    const fault = refusal(text);
    expect(fault.code).toBe("input.malformed");
    expect(fault.message).toContain(message);
  });
});

describe("a row that is wrong", () => {
  it.each([
    ["10,probe,100,Ω,,", '4 channel: the job has no channel "probe". It has: reference, item-1.'],
    ["10,item1,100,Ω,,", '4 channel: the job has no channel "item1". Did you mean "item-1"?'],
    ["10,,100,Ω,,", "4 channel: the name of the channel is missing."],
    [
      "10,reference,100,mV,,",
      '4 unit: the channel "reference" is read in Ω, not in mV. Convert the values, or correct the unit.',
    ],
    [
      "10,reference,100,K,,",
      '4 unit: the channel "reference" is read in Ω, not in "K". Convert the values, or correct the unit.',
    ],
    ["10,reference,100,,,", '4 unit: the unit is missing. The channel "reference" is read in Ω.'],
    ["10,reference,,Ω,,", "4 value: the cell is empty. Leave the whole row out where nothing was read."],
    [
      "10,reference,OL,Ω,,",
      '4 value: expected a number, found "OL". Write the digits alone, without unit and without signs between thousands.',
    ],
    ["10,reference,1e999,Ω,,", "4 value: 1e999 is what an instrument says when it has no reading. Leave the row out."],
    [
      "10,reference,9.9E37,Ω,,",
      "4 value: 9.9E37 is what an instrument says when it has no reading. Leave the row out.",
    ],
    [
      '10,reference,"100,2",Ω,,',
      '4 value: "100,2" has a decimal comma, but commas part the cells here. Write 100.2, or part the cells by semicolons.',
    ],
    [
      "10,reference,100,2,Ω,,",
      "4 value: the row has 7 cells, the first line 6. If decimals are written after a comma, part the cells by semicolons.",
    ],
    ["10,reference", "4 value: the row has 2 cells, the first line 6."],
    [
      "soon,reference,100,Ω,,",
      '4 time: expected seconds, or a date and time such as 2026-03-31T09:30:00Z; found "soon".',
    ],
    [",reference,100,Ω,,", "4 time: the time is missing."],
    ["-1,reference,100,Ω,,", "4 time: -1 s is before the beginning. Count seconds from 0."],
    [
      "2026-03-31T09:00:00,reference,100,Ω,,",
      '4 time: "2026-03-31T09:00:00" does not say its time zone. Add Z for UTC, or the difference from it, for example 2026-03-31T09:00:00+01:00.',
    ],
    ["2026-02-30T09:00:00Z,reference,100,Ω,,", '4 time: there is no such moment as "2026-02-30T09:00:00Z".'],
    ["2026-02-20T24:30:00Z,reference,100,Ω,,", '4 time: there is no such moment as "2026-02-20T24:30:00Z".'],
    [
      "2026-03-31T09:00:00Z,reference,100,Ω,,",
      "4 time: some rows hold seconds, others a date and time. Write all of them in one way.",
    ],
    [
      "0.5,item-1,100,Ω,,",
      "4 time: the time is before that of line 3 of the same channel. Put the rows in order of time.",
    ],
    ["1,item-1,100,Ω,,", '4 time: the channel "item-1" was read at this very time in line 3 already.'],
    ["10,reference,100,Ω,first,", '4 pass: expected as-found or as-left, found "first".'],
    [
      "10,reference,100,Ω,as-left,",
      "4 pass: the job has no pass as-left. Add it to procedure.passes, or correct the row.",
    ],
    ["10,reference,100,Ω,,4", "4 point: the job has no point 4. It has: 1 (0 °C), 2 (60 °C), 3 (120 °C)."],
    ["10,reference,100,Ω,,1 °C", "4 point: the job has no point 1 °C. It has: 1 (0 °C), 2 (60 °C), 3 (120 °C)."],
    [
      "10,reference,100,Ω,,first",
      '4 point: expected the number of a point, or its temperature; found "first". The job has: 1 (0 °C), 2 (60 °C), 3 (120 °C).',
    ],
  ])("%s", (row, message) => {
    expect(said(table(row))).toEqual([message]);
    expect(refusal(table(row)).code).toBe("input.invalid");
  });

  it("is refused where a number could be meant as a point's number and as its temperature", () => {
    const points = [{ temperature: 2 }, { temperature: 50 }, { temperature: 2 }];
    const other = { ...job, procedure: { ...job.procedure, points } };
    const told = (cell: string): string | undefined =>
      (refusal(table().replaceAll("as-found,1", `as-found,${cell}`), other).data!.fields as FieldError[])[0]?.message;
    expect(told("2")).toBe(
      "2 is the number of one point and the temperature of another. Write 2 °C for the temperature, or number the points.",
    );
    expect(told("2 °C")).toBe(
      "several points of the job are at 2 °C. Write the number of the point. The job has: 1 (2 °C), 2 (50 °C), 3 (2 °C).",
    );
  });

  it("does not hide the others: all are told, the first 50 by name, and nothing of the file is used", () => {
    const fault = refusal(table(...Array.from({ length: 60 }, (_, index) => `${index + 10},nothing,abc,Ω,,`)));
    expect(fault.data!.count).toBe(120);
    expect(fault.data!.fields).toHaveLength(50);
    expect(fault.message.split("\n").at(-1)).toBe("… and 115 more.");
  });
});

describe("channels that evaluation needs", () => {
  it("are named where the file does not hold them", () => {
    expect(said("time,channel,value,unit\n0,reference,100,Ω")).toEqual([
      '1 channel: there are no readings of the channel "item-1" (item TT-221). Add them.',
    ]);
    const { fields } = refusal("time,channel,value,unit\n0,source,100,°C", thermocouple).data as {
      fields: FieldError[];
    };
    expect(fields.map(({ message }) => message)).toEqual([
      'there are no readings of the channel "reference" (reference 1108). Add them.',
      'there are no readings of the channel "item-1" (item TE-118). Add them.',
      'there are no readings of the channel "junction" (reference junction of TE-118). Add them.',
    ]);
  });
});
