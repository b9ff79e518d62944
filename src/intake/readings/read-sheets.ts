import { failure, success, type Outcome } from "#fault";
import { readCsvSheet, type Sheet } from "./csv-table.ts";
import { textOf } from "./text-of.ts";
import { readXlsxSheets } from "./xlsx-sheet.ts";

export interface SheetsRead {
  readonly sheet: Sheet;
  /** Names of a workbook's sheets; none in a text. */
  readonly names: readonly string[];
  /** Which of them was read. */
  readonly name: string | null;
}

/** An archive begins with "PK". */
const isWorkbook = (bytes: Uint8Array): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b;
/** The format of workbooks before XLSX: a compound file. */
const isOldWorkbook = (bytes: Uint8Array): boolean => bytes[0] === 0xd0 && bytes[1] === 0xcf && bytes[2] === 0x11;

/**
 * The rows of a file of readings, whatever its name says: its content decides whether it is a workbook or a text.
 * `input.malformed` where it is neither.
 */
export const readSheets = async (bytes: Uint8Array, name: string, wanted?: string): Promise<Outcome<SheetsRead>> => {
  if (isOldWorkbook(bytes))
    return failure("input.malformed", `${name} is a workbook of the old kind (XLS). Save it as XLSX, or as CSV.`);
  if (!isWorkbook(bytes)) {
    const sheet = readCsvSheet(textOf(bytes), name);
    return sheet.ok ? success({ sheet: sheet.value, names: [], name: null }) : sheet;
  }
  const sheets = await readXlsxSheets(bytes, name);
  if (!sheets.ok) return sheets;
  const chosen = wanted === undefined ? sheets.value[0] : sheets.value.find((each) => each.name === wanted);
  const names = sheets.value.map((each) => each.name);
  return chosen === undefined
    ? failure("input.invalid", `${name} has no sheet "${wanted ?? ""}". It has: ${names.join(", ") || "none"}.`)
    : success({ sheet: chosen.sheet, names, name: chosen.name });
};
