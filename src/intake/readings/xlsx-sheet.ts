import readXlsxFile from "read-excel-file/node";
import { failure, success, type Outcome } from "#fault";
import type { Sheet } from "./csv-table.ts";
import { repackedWorkbook } from "./repacked-workbook.ts";

/** Largest workbook that is read, bytes. */
const mostBytes = 33_554_432;
/** The most that it may be when it is unpacked: about 300,000 rows of ten cells. */
const mostUnpacked = 134_217_728;

/**
 * A workbook's date has no time zone: it is written as the wall clock showed it, and a mapping must say which zone that was.
 * It counts days in binary fractions, and the library cuts the thousandths off: the hundredth that is a thousandth away is
 * the one that was meant.
 */
const wallClock = (date: Date): string => {
  const milliseconds = date.getTime();
  const hundredth = Math.round(milliseconds / 10) * 10;
  const meant = Math.abs(hundredth - milliseconds) <= 1 ? hundredth : milliseconds;
  return new Date(meant).toISOString().replace(/\.000Z$|Z$/, "");
};

const cellText = (cell: unknown): string => {
  if (cell === null || cell === undefined) return "";
  if (cell instanceof Date) return wallClock(cell);
  return typeof cell === "string" ? cell.trim().normalize("NFC") : String(cell);
};

const sheetOf = (rows: readonly (readonly unknown[])[]): Sheet => ({
  rows: rows
    .map((cells, index) => ({ cells: cells.map(cellText), line: index + 1 }))
    .filter(({ cells }) => cells.some((cell) => cell !== "")),
  decimalComma: true,
});

/** Every sheet of an XLSX workbook as rows of text, in their order. */
export const readXlsxSheets = async (
  bytes: Uint8Array,
  name: string,
): Promise<Outcome<{ readonly name: string; readonly sheet: Sheet }[]>> => {
  if (bytes.length > mostBytes)
    return failure(
      "input.malformed",
      `${name} has ${bytes.length} bytes; at most ${mostBytes} are read. Divide the file.`,
    );
  // The library reads a file that is no workbook as one without sheets, or fails in ways of its own.
  if (bytes[0] !== 0x50 || bytes[1] !== 0x4b)
    return failure("input.malformed", `${name} is not an XLSX workbook. Save it as XLSX, or as CSV.`);
  const repacked = repackedWorkbook(bytes, name, mostUnpacked);
  if (!repacked.ok) return repacked;
  try {
    const sheets = await readXlsxFile(repacked.value);
    return success(sheets.map(({ sheet, data }) => ({ name: sheet, sheet: sheetOf(data) })));
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return failure(
      "input.malformed",
      `${name} cannot be read as an XLSX workbook: ${reason}. Save it anew, or as CSV.`,
    );
  }
};

/** The first sheet of an XLSX workbook, or the one of a name, as rows of text. */
export const readXlsxSheet = async (bytes: Uint8Array, name: string, sheet?: string): Promise<Outcome<Sheet>> => {
  const sheets = await readXlsxSheets(bytes, name);
  if (!sheets.ok) return sheets;
  const names = sheets.value.map((each) => each.name).join(", ");
  const chosen = sheet === undefined ? sheets.value[0] : sheets.value.find((each) => each.name === sheet);
  return chosen === undefined
    ? failure("input.malformed", `${name} has no sheet "${sheet ?? ""}". It has: ${names || "none"}.`)
    : success(chosen.sheet);
};
