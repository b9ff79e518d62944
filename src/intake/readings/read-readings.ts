import { failure, success, type Outcome } from "#fault";
import { plannedPoints, type Job } from "#calibration";
import { fieldsFault, type FieldError } from "../document/field-error.ts";
import { suggestion } from "../document/nearest-word.ts";
import { numberCell, passCell, pointCell, timeCell, type CellTime } from "./cell-values.ts";
import { namedTable, readCsvSheet, type ColumnName, type CsvRow, type CsvTable, type Sheet } from "./csv-table.ts";
import { decimalUnit, movedPoint, type DecimalUnit } from "./decimal-unit.ts";
import { mappedTable, type ReadingsMapping } from "./mapping.ts";
import type { FileReading, Readings } from "./readings.ts";

const mostListed = 50;

interface TimedRow extends Omit<FileReading, "time"> {
  readonly moment: CellTime;
}

/** Reads row after row and remembers what was wrong, and when each channel was read last. */
class RowReader {
  readonly errors: FieldError[] = [];
  readonly rows: TimedRow[] = [];
  count = 0;
  readonly #job: Job;
  readonly #table: CsvTable;
  readonly #last = new Map<string, { seconds: number; line: number }>();
  #kind: CellTime["kind"] | undefined;

  constructor(job: Job, table: CsvTable) {
    this.#job = job;
    this.#table = table;
  }

  read(row: CsvRow): void {
    const before = this.count;
    const reading = this.#cells(row);
    if (this.count === before && reading !== undefined && this.#timely(reading)) this.rows.push(reading);
  }

  complain(line: number, column: ColumnName, message: string): void {
    this.count += 1;
    if (this.errors.length < mostListed) this.errors.push({ line, column: 1, path: column, message });
  }

  #cells(row: CsvRow): TimedRow | undefined {
    const { decimalComma, width } = this.#table;
    if (row.cells !== width) {
      const comma =
        width < row.cells && !decimalComma
          ? " If decimals are written after a comma, part the cells by semicolons."
          : "";
      this.complain(row.line, "value", `the row has ${row.cells} cells, the first line ${width}.${comma}`);
      return undefined;
    }
    const { passes } = this.#job.procedure;
    const points = plannedPoints(this.#job.procedure);
    const take = <T>(column: ColumnName, outcome: Outcome<T>): T | undefined => {
      if (outcome.ok) return outcome.value;
      this.complain(row.line, column, outcome.fault.message);
      return undefined;
    };
    const moment = take("time", timeCell(row.cell("time"), decimalComma));
    const channel = take("channel", this.#channel(row.cell("channel")));
    const value = take("value", numberCell(row.cell("value"), decimalComma));
    const unit = channel === undefined ? undefined : take("unit", this.#unit(channel, row.cell("unit")));
    const pass = take("pass", passCell(row.cell("pass"), passes));
    const point = take(
      "point",
      pointCell(
        row.cell("point"),
        points.map(({ temperature }) => temperature),
        decimalComma,
      ),
    );
    if (
      moment === undefined ||
      channel === undefined ||
      value === undefined ||
      unit === undefined ||
      pass === undefined ||
      point === undefined
    )
      return undefined;
    const digits = movedPoint(value.digits, unit.places);
    return { line: row.line, moment, channel, value: Number(digits), digits, unit: unit.unit, pass, point };
  }

  #channel(name: string): Outcome<string> {
    const known = Object.keys(this.#job.bench.channels);
    if (known.includes(name)) return success(name);
    if (name === "") return failure("input.invalid", "the name of the channel is missing.");
    return failure(
      "input.invalid",
      `the job has no channel "${name.slice(0, 40)}".${suggestion(name, known) || ` It has: ${known.join(", ")}.`}`,
    );
  }

  /** The channel's own unit, or one from which only the decimal point has to be moved. */
  #unit(channel: string, text: string): Outcome<DecimalUnit> {
    const right = this.#job.bench.channels[channel]!.unit;
    const unit = decimalUnit(text);
    if (unit?.unit === right) return success(unit);
    if (text === "")
      return failure("input.invalid", `the unit is missing. The channel "${channel}" is read in ${right}.`);
    return failure(
      "input.invalid",
      `the channel "${channel}" is read in ${right}, not in ${unit?.places === 0 ? unit.unit : `"${text.slice(0, 20)}"`}. Convert the values, or correct the unit.`,
    );
  }

  #timely({ moment, channel, line }: TimedRow): boolean {
    this.#kind ??= moment.kind;
    if (moment.kind !== this.#kind) {
      this.complain(line, "time", "some rows hold seconds, others a date and time. Write all of them in one way.");
      return false;
    }
    const last = this.#last.get(channel);
    if (last !== undefined && moment.seconds <= last.seconds) {
      const words =
        moment.seconds === last.seconds
          ? `the channel "${channel}" was read at this very time in line ${last.line} already.`
          : `the time is before that of line ${last.line} of the same channel. Put the rows in order of time.`;
      this.complain(line, "time", words);
      return false;
    }
    this.#last.set(channel, { seconds: moment.seconds, line });
    return true;
  }
}

/** Channels that evaluation cannot do without, and what is read on each. */
const neededChannels = ({ kit, items }: Job): { channel: string; what: string }[] => [
  { channel: kit.reference.channel, what: `reference ${kit.reference.serial}` },
  ...items.map(({ channel, tag }) => ({ channel, what: `item ${tag}` })),
  ...items.flatMap(({ coldJunction, tag }) =>
    coldJunction?.kind === "channel" ? [{ channel: coldJunction.channel, what: `reference junction of ${tag}` }] : [],
  ),
];

/** Microseconds are kept; binary rounding of a subtraction is not. */
const since = (seconds: number, origin: number): number => Math.round((seconds - origin) * 1e6) / 1e6;

/**
 * Readings recorded elsewhere: columns time (seconds, or ISO 8601 with its zone), channel, value, unit, and if wanted pass
 * and point (number from 1, or temperature), or what a mapping says of other columns. `input.malformed` where the file is no
 * such table; `input.invalid` names every row that is wrong (`data.fields`, the first 50; `data.count` all), nothing of such
 * a file is used.
 */
export const readReadings = (
  sheet: Sheet,
  { job, name, mapping }: { readonly job: Job; readonly name: string; readonly mapping?: ReadingsMapping | undefined },
): Outcome<Readings> => {
  const table = mapping === undefined ? namedTable(sheet, name) : mappedTable(sheet, name, mapping, job);
  if (!table.ok) return table;
  const reader = new RowReader(job, table.value);
  for (const row of table.value.rows) reader.read(row);
  const { rows } = reader;
  const seen = new Set(rows.map(({ channel }) => channel));
  if (reader.count === 0) {
    for (const { channel, what } of neededChannels(job)) {
      if (!seen.has(channel))
        reader.complain(1, "channel", `there are no readings of the channel "${channel}" (${what}). Add them.`);
    }
  }
  if (reader.count > 0) {
    const { fault } = fieldsFault("input.invalid", name, reader.errors, reader.count);
    return failure(fault.code, fault.message, { ...fault.data, count: reader.count });
  }
  const moments = rows[0]!.moment.kind === "moment";
  const earliest = rows.reduce((least, { moment }) => Math.min(least, moment.seconds), Infinity);
  // Down to the millisecond that a date and time can say; the hundredth is for binary rounding.
  const origin = moments ? Math.floor(earliest * 1000 + 0.01) / 1000 : 0;
  return success({
    name,
    start: moments ? new Date(Math.round(origin * 1000)).toISOString() : null,
    hasPoints: table.value.has("point") && rows.some(({ point }) => point !== null),
    rows: rows.map(({ moment, ...row }) => ({ ...row, time: since(moment.seconds, origin) })),
    unusedColumns: table.value.unusedColumns,
  });
};

/** The same from the text of a CSV file that names its columns itself. */
export const readReadingsCsv = (
  text: string,
  options: { readonly job: Job; readonly name: string },
): Outcome<Readings> => {
  const sheet = readCsvSheet(text, options.name);
  return sheet.ok ? readReadings(sheet.value, options) : sheet;
};
