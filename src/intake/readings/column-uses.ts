import { failure, success, type Outcome } from "#fault";
import type { Sheet, SheetRow } from "./csv-table.ts";
import { readingsMappingSchema, type ReadingsMapping } from "./mapping.ts";

/** What one column is for: `channel:NAME` holds the readings of that channel, `names` says of which channel its row is. */
export type ColumnUse = "none" | "time" | "date" | "names" | "value" | "unit" | "pass" | "point" | `channel:${string}`;

export interface UsedColumn {
  readonly column: string;
  readonly use: ColumnUse;
  /** Unit of a channel's readings in the file, where it is not the channel's own: V, kΩ. */
  readonly unit?: string | undefined;
}

/** A mapping as a person gives it column by column. */
export interface ColumnUses {
  /** Line that names the columns. */
  readonly names: number;
  readonly order: ReadingsMapping["order"];
  readonly zone: string | null;
  readonly uses: readonly UsedColumn[];
  /** The file's names of channels and the job's, where a column holds names. */
  readonly channelNames: Readonly<Record<string, string>>;
}

/** The row that names the columns. */
export const namesRow = (sheet: Sheet, line: number): SheetRow | undefined =>
  sheet.rows.find((row) => row.line >= line);

const single = ["time", "date", "names", "value", "unit", "pass", "point"] as const;
const singleWords: Readonly<Record<(typeof single)[number], string>> = {
  time: "the time",
  date: "the date",
  names: "the channel of the row",
  value: "the value",
  unit: "the unit",
  pass: "the pass",
  point: "the point",
};

/** The mapping that column uses come to. `input.invalid` says what is missing, or given twice. */
export const mappingOf = ({ names, order, zone, uses, channelNames }: ColumnUses): Outcome<ReadingsMapping> => {
  const columnsOf = (use: ColumnUse) => uses.filter((each) => each.use === use).map(({ column }) => column);
  const twice = single.find((use) => columnsOf(use).length > 1);
  if (twice !== undefined)
    return failure(
      "input.invalid",
      `Two columns are said to hold ${singleWords[twice]}: ${columnsOf(twice).join(", ")}. Keep one of them.`,
    );
  const channels = uses.flatMap(({ column, use, unit }) =>
    use.startsWith("channel:")
      ? [[column, { channel: use.slice("channel:".length), ...(unit === undefined ? {} : { unit }) }] as const]
      : [],
  );
  const repeated = channels.find(([, { channel }], index) =>
    channels.slice(0, index).some(([, earlier]) => earlier.channel === channel),
  );
  if (repeated !== undefined)
    return failure(
      "input.invalid",
      `Two columns are said to hold the channel "${repeated[1].channel}". Keep one of them.`,
    );
  const [time, date, named, value, unit, pass, point] = single.map((use) => columnsOf(use)[0]);
  if (time === undefined) return failure("input.invalid", "Say which column holds the time.");
  const long = named !== undefined || value !== undefined;
  if (long && channels.length > 0)
    return failure(
      "input.invalid",
      "Either each channel has a column of its own, or one column names the channel. Not both.",
    );
  if (long && (named === undefined || value === undefined))
    return failure(
      "input.invalid",
      `Say which column holds ${named === undefined ? "the channel of the row" : "the value"}.`,
    );
  if (!long && channels.length === 0) return failure("input.invalid", "Say which columns hold readings, and of what.");
  return success(
    readingsMappingSchema.parse({
      names,
      order,
      time,
      ...(date === undefined ? {} : { date }),
      ...(zone === null ? {} : { zone }),
      ...(long
        ? { channel: named, value, ...(unit === undefined ? {} : { unit }), channelNames }
        : { channels: Object.fromEntries(channels) }),
      ...(pass === undefined ? {} : { pass }),
      ...(point === undefined ? {} : { point }),
    }),
  );
};

/** A mapping as the uses of a sheet's columns; the other way round. */
export const usesOf = (mapping: ReadingsMapping, sheet: Sheet): ColumnUses => {
  const same = (a: string | undefined, b: string) => a?.trim().toLowerCase() === b.trim().toLowerCase();
  const useOf = (column: string): Omit<UsedColumn, "column"> => {
    const { time, date, channel, value, unit, pass, point, channels = {} } = mapping;
    const plain = Object.entries({ time, date, names: channel, value, unit, pass, point }).find(([, name]) =>
      same(name, column),
    );
    if (plain !== undefined) return { use: plain[0] as ColumnUse };
    const held = Object.entries(channels).find(([name]) => same(name, column));
    if (held === undefined) return { use: "none" };
    const { channel: name, unit: said } = held[1];
    return { use: `channel:${name}`, ...(said === undefined ? {} : { unit: said }) };
  };
  const columns = namesRow(sheet, mapping.names)?.cells ?? [];
  return {
    names: mapping.names,
    order: mapping.order,
    zone: mapping.zone ?? null,
    uses: columns.filter((column) => column !== "").map((column) => ({ column, ...useOf(column) })),
    channelNames: mapping.channelNames ?? {},
  };
};
