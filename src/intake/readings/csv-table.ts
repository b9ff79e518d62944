import { CsvError, parse } from "csv-parse/sync";
import { failure, success, type Outcome } from "#fault";
import { suggestion } from "../document/nearest-word.ts";

/** Largest file that is read, in characters (32 MiB): a day of several channels at one reading a second. */
const mostCharacters = 33_554_432;

const needed = ["time", "channel", "value", "unit"] as const;
const optional = ["pass", "point"] as const;
export type ColumnName = (typeof needed)[number] | (typeof optional)[number];
const columnNames: readonly ColumnName[] = [...needed, ...optional];

export interface CsvRow {
  readonly line: number;
  /** The cell of a column, trimmed; "" where the row or the file has none. */
  cell(column: ColumnName): string;
  readonly cells: number;
}

export interface CsvTable {
  readonly rows: readonly CsvRow[];
  /** Cells that each row should have. */
  readonly width: number;
  readonly has: (column: ColumnName) => boolean;
  readonly unusedColumns: readonly string[];
  /** Decimals may be written after a comma, because the comma does not part the cells. */
  readonly decimalComma: boolean;
}

/** A row of a file, whatever the file was: its cells as text, and where it stands. */
export interface SheetRow {
  readonly cells: readonly string[];
  readonly line: number;
}

/** The rows of a file that hold anything, its first line among them. */
export interface Sheet {
  readonly rows: readonly SheetRow[];
  /** Decimals may be written after a comma, because the comma does not part the cells. */
  readonly decimalComma: boolean;
}

export const sheetFault = (name: string, line: number, message: string): Outcome<never> =>
  failure("input.malformed", `${name}:${line}: ${message}`, {
    document: name,
    fields: [{ line, column: 1, path: "(text)", message }],
  });

/** The sign between the cells: a semicolon or tab in the first line that holds anything, else a comma. */
const separatorOf = (text: string): ";" | "\t" | "," => {
  const header = /^.*\S.*$/m.exec(text)?.[0] ?? "";
  if (header.includes(";")) return ";";
  return header.includes("\t") ? "\t" : ",";
};

const records = (text: string, separator: string): SheetRow[] => {
  const rows = parse(text, {
    delimiter: separator,
    info: true,
    trim: true,
    relax_column_count: true,
    skip_empty_lines: true,
  }) as unknown as { record: string[]; info: { lines: number } }[];
  return rows
    .map(({ record, info }) => ({ cells: record, line: info.lines }))
    .filter(({ cells }) => cells.some((cell) => cell !== ""));
};

const header = (name: string, { cells, line }: SheetRow): Outcome<ReadonlyMap<ColumnName, number>> => {
  const places = new Map<ColumnName, number>();
  for (const [index, cell] of cells.entries()) {
    const column = columnNames.find((each) => each === cell.toLowerCase());
    if (column === undefined) continue;
    if (places.has(column)) return sheetFault(name, line, `the column "${column}" stands twice. Keep one of the two.`);
    places.set(column, index);
  }
  const missing = needed.filter((column) => !places.has(column));
  if (missing.length === 0) return success(places);
  const list = missing.map((column) => `"${column}"`).join(", ");
  const strange = cells.filter((cell) => !columnNames.some((each) => each === cell.toLowerCase()));
  const near = strange.map((cell) => ({ cell, words: suggestion(cell, missing) })).find(({ words }) => words !== "");
  const advice =
    near === undefined
      ? "The first line names the columns: time, channel, value, unit; if wanted pass and point."
      : `Found "${near.cell}".${near.words}`;
  return sheetFault(name, line, `no column ${list}. ${advice}`);
};

/** A CSV file as rows of cells. Separators are a comma, a semicolon or a tab. */
export const readCsvSheet = (written: string, name: string): Outcome<Sheet> => {
  if (written.length > mostCharacters) {
    return failure(
      "input.malformed",
      `${name} has ${written.length} characters; at most ${mostCharacters} are read. Divide the file.`,
      { document: name, fields: [] },
    );
  }
  const text = written.replace(/^\uFEFF/, "").normalize("NFC");
  const lineOf = (position: number): number => text.slice(0, position).split("\n").length;
  if (text.includes("\u0000"))
    return sheetFault(name, lineOf(text.indexOf("\u0000")), "this is not a text file. Save it as CSV, UTF-8.");
  if (text.includes("\uFFFD"))
    return sheetFault(
      name,
      lineOf(text.indexOf("\uFFFD")),
      "a character here cannot be read. Save the file as CSV, UTF-8.",
    );
  const separator = separatorOf(text);
  try {
    return success({ rows: records(text, separator), decimalComma: separator !== "," });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = typeof error.lines === "number" ? error.lines : 1;
    return sheetFault(
      name,
      line,
      "a quote is not closed, or stands in the middle of a cell. Put the whole cell in quotes, and double a quote inside it.",
    );
  }
};

/** Rows with named cells, where the first row names the columns itself. Names in any case. */
export const namedTable = ({ rows, decimalComma }: Sheet, name: string): Outcome<CsvTable> => {
  const [first, ...rest] = rows;
  if (first === undefined)
    return sheetFault(
      name,
      1,
      "the file is empty. The first line names the columns: time, channel, value, unit; if wanted pass and point.",
    );
  const places = header(name, first);
  if (!places.ok) return places;
  if (rest.length === 0) return sheetFault(name, first.line, "there are no readings below the names of the columns.");
  return success({
    rows: rest.map(({ cells, line }) => ({
      line,
      cells: cells.length,
      cell: (column) => cells[places.value.get(column) ?? -1] ?? "",
    })),
    width: first.cells.length,
    has: (column) => places.value.has(column),
    unusedColumns: first.cells.filter((cell) => !columnNames.some((each) => each === cell.toLowerCase())),
    decimalComma,
  });
};
