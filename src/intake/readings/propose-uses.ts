import type { Job } from "#calibration";
import { namesRow, type ColumnUse, type ColumnUses, type UsedColumn } from "./column-uses.ts";
import { decimalUnit } from "./decimal-unit.ts";
import type { Sheet, SheetRow } from "./csv-table.ts";

/** So many rows below the names are looked at. */
const lookedAt = 200;

const number = /^[+-]?\d+(?:[.,]\d+)?(?:e[+-]?\d+)?$/i;
const dated = /^(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})(?:[T ,].*)?$/;
const clock = /^\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?$/;
const zoned = /(Z|[+-]\d{2}:?\d{2})$/i;

const isName = (cell: string): boolean => cell !== "" && !number.test(cell) && !dated.test(cell) && !clock.test(cell);

/** The row that looks most like names of columns: words, with numbers or times below them. */
const likelyNames = ({ rows }: Sheet): SheetRow | undefined => {
  const score = (row: SheetRow, below: SheetRow | undefined) =>
    row.cells.filter((cell, index) => isName(cell) && below !== undefined && !isName(below.cells[index] ?? "")).length;
  const [best] = rows
    .slice(0, 40)
    .map((row, index) => ({ row, points: score(row, rows[index + 1]) }))
    .toSorted((a, b) => b.points - a.points || a.row.line - b.row.line);
  return best === undefined || best.points === 0 ? rows[0] : best.row;
};

/** Letters and digits only, so that "TT-221 [Ω]" and "tt221" are alike. */
const bare = (text: string): string =>
  text
    .normalize("NFKD")
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]/gu, "");

const singleNames: readonly (readonly [ColumnUse, RegExp])[] = [
  ["pass", /^(pass|run pass|durchgang)$/i],
  ["point", /^(point|set ?point( no\.?)?|stufe|punkt|messpunkt)$/i],
  ["names", /^(channel|kanal|input|sensor|name|tag)$/i],
  ["value", /^(value|reading|wert|messwert)$/i],
  ["unit", /^(units?|einheit)$/i],
];
const timeNames =
  /^(date ?[/ ]? ?time|timestamp|time( ?\(?s\)?)?|datum[ /]+zeit|zeit(stempel)?|uhrzeit|elapsed( time)?.*|seconds|sekunden|utc|t)$/i;
const dateNames = /^(date|datum|day|tag)$/i;

interface Known {
  readonly channel: string;
  readonly unit: string;
  readonly names: readonly string[];
}

/** By which names a channel of the job may stand in somebody else's file. */
const knownChannels = ({ bench, kit, items }: Job): Known[] =>
  Object.entries(bench.channels).map(([channel, { unit }]) => ({
    channel,
    unit,
    names: [
      channel,
      ...(channel === kit.reference.channel
        ? [kit.reference.id, kit.reference.serial, "reference", "ref", "standard", "referenz", "prt", "sprt"]
        : []),
      ...items.flatMap((item) => (item.channel === channel ? [item.id, item.tag, item.serial] : [])),
      ...(items.some(({ coldJunction }) => coldJunction?.kind === "channel" && coldJunction.channel === channel)
        ? ["junction", "cold junction", "cj"]
        : []),
    ].map(bare),
  }));

/** The unit in a name such as "Ref (Ohm)" or "TT-1 [mV]"; null where none is said. */
const unitIn = (column: string) => {
  const said = /[([]\s*([^)\]]+?)\s*[)\]]/.exec(column)?.[1] ?? /[,/]\s*([^\s,/]+)$/.exec(column)?.[1];
  const meant = said === undefined ? undefined : decimalUnit(said);
  return said === undefined || meant === undefined ? null : { said, ...meant };
};

const channelOf = (column: string, known: readonly Known[], taken: ReadonlySet<string>): string | undefined => {
  const named = column.replaceAll(/[([][^)\]]*[)\]]/g, "");
  // The whole name, without its unit, or one of its words: "TT-221", "tt221 (mA)", "PRT ref-11".
  const said = new Set([bare(column), bare(named), ...named.split(/[\s,;:_/]+/).map(bare)]);
  const unit = unitIn(column);
  return known.find(
    (each) =>
      !taken.has(each.channel) &&
      // What is said to be in another unit is not taken for it: a person must see to that.
      (unit === null || unit.unit === each.unit) &&
      each.names.some((name) => name.length > 1 && said.has(name)),
  )?.channel;
};

const orderOf = (cells: readonly string[]): ColumnUses["order"] => {
  const parts = cells.flatMap((cell) => {
    const found = dated.exec(cell);
    return found === null ? [] : [found.slice(1, 4).map(Number) as [number, number, number]];
  });
  if (parts.length === 0 || parts.some(([first]) => first > 31)) return "year-first";
  return parts.some(([, second]) => second > 12) ? "month-first" : "day-first";
};

/**
 * What the columns of somebody else's file probably mean: a proposal that a person looks at, made from names, units and the
 * first rows. `zone` is taken for times that say none.
 */
export const proposeUses = (sheet: Sheet, job: Job, zone: string | null): ColumnUses => {
  const names = likelyNames(sheet)?.line ?? 1;
  const columns = namesRow(sheet, names)?.cells ?? [];
  const body = sheet.rows.filter(({ line }) => line > names).slice(0, lookedAt);
  const cellsOf = (index: number) => body.map(({ cells }) => cells[index] ?? "").filter((cell) => cell !== "");
  const all = (index: number, is: RegExp) => cellsOf(index).length > 0 && cellsOf(index).every((cell) => is.test(cell));
  const known = knownChannels(job);
  const taken = new Set<string>();
  const used = new Set<ColumnUse>();
  const dateOnly = columns.findIndex((column, index) => dateNames.test(column) && all(index, /^[^T :]+$/));
  const timeAt = columns.findIndex(
    (column, index) => index !== dateOnly && (timeNames.test(column) || all(index, clock) || all(index, dated)),
  );
  const useOf = (column: string, index: number): Omit<UsedColumn, "column"> => {
    if (index === timeAt) return { use: "time" };
    if (index === dateOnly && timeAt >= 0 && all(timeAt, clock)) return { use: "date" };
    const channel = channelOf(column, known, taken);
    if (channel !== undefined) {
      taken.add(channel);
      const unit = unitIn(column);
      return { use: `channel:${channel}`, ...(unit === null || unit.places === 0 ? {} : { unit: unit.said }) };
    }
    const found = singleNames.find(([use, pattern]) => !used.has(use) && pattern.test(column))?.[0] ?? "none";
    used.add(found);
    return { use: found };
  };
  const uses = columns
    .map((column, index): UsedColumn => ({ column, ...(column === "" ? { use: "none" } : useOf(column, index)) }))
    .filter(({ column }) => column !== "");
  const wide = taken.size > 0;
  const long = !wide && used.has("names") && used.has("value");
  const unsuited: readonly ColumnUse[] = long ? [] : ["names", "value", "unit"];
  const moments = [timeAt, dateOnly].filter((index) => index >= 0).flatMap(cellsOf);
  const says = timeAt >= 0 && cellsOf(timeAt).every((cell) => number.test(cell) || zoned.test(cell));
  const named = long
    ? new Set(cellsOf(columns.findIndex((_, index) => uses[index]?.use === "names")))
    : new Set<string>();
  return {
    names,
    order: orderOf(moments),
    zone: says ? null : zone,
    uses: uses.map((each) => (unsuited.includes(each.use) ? { ...each, use: "none" } : each)),
    channelNames: Object.fromEntries(
      [...named].flatMap((name) => {
        const channel = channelOf(name, known, new Set());
        return channel === undefined || channel === name ? [] : [[name, channel]];
      }),
    ),
  };
};
