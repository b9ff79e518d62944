import { createHash } from "node:crypto";
import { z } from "zod";
import type { Job } from "#calibration";
import { success, type Outcome } from "#fault";
import { suggestion } from "../document/nearest-word.ts";
import { sheetFault, type ColumnName, type CsvRow, type CsvTable, type Sheet, type SheetRow } from "./csv-table.ts";

const column = z.string().trim().min(1).describe("the column's name as it stands in the file");

/**
 * What the columns of somebody else's file mean. Either each channel has a column of its own (`channels`), or one column
 * names the channel of its row (`channel`, `value`, `unit`).
 */
export const readingsMappingSchema = z
  .strictObject({
    names: z.int().min(1).default(1).describe("line that names the columns; what stands above it is passed over"),
    time: column,
    date: column.optional().describe("a column for the date, where it stands apart from the time of day"),
    zone: z
      .string()
      .regex(/^(Z|[+-]\d{2}:\d{2})$/, "'Z', or a difference such as '+01:00'")
      .optional()
      .describe("time zone of the dates and times, where the file does not say it"),
    order: z
      .enum(["year-first", "day-first", "month-first"])
      .default("year-first")
      .describe("how the file writes a date"),
    channels: z
      .record(column, z.strictObject({ channel: column, unit: column.optional() }))
      .optional()
      .describe(
        "columns that hold readings, and the job's channel of each; the channel's own unit where none is given, or one from which only the point is moved (V, kΩ)",
      ),
    channel: column.optional(),
    channelNames: z.record(z.string(), z.string()).optional().describe("the file's names of channels, and the job's"),
    value: column.optional(),
    unit: column.optional(),
    pass: column.optional(),
    point: column.optional(),
  })
  .refine(
    ({ channels, channel, value }) => (channels === undefined) === (channel !== undefined && value !== undefined),
    {
      error: "give either channels (a column each), or channel and value (a column for all)",
    },
  );

export type ReadingsMapping = z.infer<typeof readingsMappingSchema>;

/** The row that names the columns. */
const namesAt = (sheet: Sheet, line: number): SheetRow | undefined => sheet.rows.find((row) => row.line >= line);

/**
 * What makes two files alike: the names of their columns, in order, whatever their case. The first row that has at least
 * two names is taken, so that a file is known by its shape before a mapping says where the names stand.
 */
export const shapeOf = (sheet: Sheet): string => {
  const named = sheet.rows.find(({ cells }) => cells.filter((cell) => cell !== "").length >= 2);
  const names = (named?.cells ?? []).map((cell) => cell.trim().toLowerCase());
  return createHash("sha256").update(JSON.stringify(names)).digest("hex").slice(0, 16);
};

const orders = { "year-first": [1, 2, 3], "day-first": [3, 2, 1], "month-first": [3, 1, 2] } as const;

/** A date and time as ISO 8601, as far as it can be told; anything else stays as it is, and is refused with its text. */
const isoTime = (text: string, order: ReadingsMapping["order"], zone: string | undefined): string => {
  const parts = /^(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})[T ,]+(\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?)(.*)$/.exec(
    text.trim(),
  );
  if (parts === null) return text;
  const [year, month, day] = orders[order].map((place) => parts[place]!) as [string, string, string];
  if (year.length !== 4) return text;
  const clock = parts[4]!.padStart(parts[4]!.indexOf(":") === 1 ? parts[4]!.length + 1 : 0, "0");
  const said = parts[5]!.trim();
  return `${year}-${month.padStart(2, "0")}-${day.padStart(2, "0")}T${clock}${said === "" ? (zone ?? "") : said}`;
};

interface Places {
  readonly at: (name: string) => number;
}

const placesIn = (
  sheet: Sheet,
  name: string,
  mapping: ReadingsMapping,
): Outcome<Places & { readonly line: number; readonly cells: readonly string[] }> => {
  const names = namesAt(sheet, mapping.names);
  if (names === undefined)
    return sheetFault(name, mapping.names, "the file ends before the line that should name its columns.");
  const known = names.cells.map((cell) => cell.trim().toLowerCase());
  const at = (wanted: string) => known.indexOf(wanted.trim().toLowerCase());
  const wanted = [
    mapping.time,
    mapping.date,
    mapping.channel,
    mapping.value,
    mapping.unit,
    mapping.pass,
    mapping.point,
    ...Object.keys(mapping.channels ?? {}),
  ].filter((each) => each !== undefined);
  const missing = wanted.find((each) => at(each) < 0);
  if (missing !== undefined) {
    const near = suggestion(missing, names.cells);
    return sheetFault(
      name,
      names.line,
      `the mapping speaks of a column "${missing}", which is not here.${near === "" ? ` There are: ${names.cells.filter((cell) => cell !== "").join(", ")}.` : near}`,
    );
  }
  return success({ at, line: names.line, cells: names.cells });
};

/** The rows of somebody else's file as rows with this program's columns: one for each reading that a row holds. */
export const mappedTable = (sheet: Sheet, name: string, mapping: ReadingsMapping, job: Job): Outcome<CsvTable> => {
  const places = placesIn(sheet, name, mapping);
  if (!places.ok) return places;
  const { at, line: namesLine, cells: names } = places.value;
  const cellOf = (row: SheetRow, column: string | undefined) =>
    column === undefined ? "" : (row.cells[at(column)] ?? "");
  const unitOf = (channel: string) => job.bench.channels[channel]?.unit ?? "";

  const timeOf = (row: SheetRow): string => {
    const time = cellOf(row, mapping.time);
    return isoTime(
      mapping.date === undefined ? time : `${cellOf(row, mapping.date)} ${time}`,
      mapping.order,
      mapping.zone,
    );
  };
  const rowOf = (row: SheetRow, channel: string, value: string, unit: string): CsvRow => {
    const cells: Readonly<Record<ColumnName, string>> = {
      time: timeOf(row),
      channel,
      value,
      unit: unit === "" ? unitOf(channel) : unit,
      pass: cellOf(row, mapping.pass),
      point: cellOf(row, mapping.point),
    };
    return { line: row.line, cells: names.length, cell: (column) => cells[column] };
  };

  const body = sheet.rows.filter((row) => row.line > namesLine);
  if (body.length === 0) return sheetFault(name, namesLine, "there are no readings below the names of the columns.");
  const rows = body.flatMap((row): CsvRow[] => {
    if (mapping.channels === undefined) {
      const said = cellOf(row, mapping.channel);
      return [rowOf(row, mapping.channelNames?.[said] ?? said, cellOf(row, mapping.value), cellOf(row, mapping.unit))];
    }
    // A cell that is empty is a channel that was not read at that moment.
    return Object.entries(mapping.channels).flatMap(([column, { channel, unit }]) => {
      const value = cellOf(row, column);
      return value === "" ? [] : [rowOf(row, channel, value, unit ?? "")];
    });
  });
  const used = new Set(
    [
      mapping.time,
      mapping.date,
      mapping.channel,
      mapping.value,
      mapping.unit,
      mapping.pass,
      mapping.point,
      ...Object.keys(mapping.channels ?? {}),
    ]
      .filter((each) => each !== undefined)
      .map((each) => at(each)),
  );
  return success({
    rows,
    width: names.length,
    has: (column) => (column === "pass" || column === "point" ? mapping[column] !== undefined : true),
    unusedColumns: names.filter((cell, index) => cell !== "" && !used.has(index)),
    decimalComma: sheet.decimalComma,
  });
};
