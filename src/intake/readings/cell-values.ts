import { failure, success, type Outcome } from "#fault";
import { passes, type Pass } from "#calibration";

const bad = (message: string): Outcome<never> => failure("input.invalid", message);

const plainNumber = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const commaNumber = /^[+-]?(?:\d+,\d*|,\d+)(?:[eE][+-]?\d+)?$/;

/** A number as it was typed, with a decimal point and its digits kept. */
export const numberCell = (cell: string, decimalComma: boolean): Outcome<{ value: number; digits: string }> => {
  if (cell === "") return bad("the cell is empty. Leave the whole row out where nothing was read.");
  const withComma = commaNumber.test(cell);
  if (withComma && !decimalComma) {
    return bad(
      `"${cell}" has a decimal comma, but commas part the cells here. Write ${cell.replace(",", ".")}, or part the cells by semicolons.`,
    );
  }
  const digits = withComma ? cell.replace(",", ".") : cell;
  if (!plainNumber.test(digits))
    return bad(
      `expected a number, found "${cell.slice(0, 40)}". Write the digits alone, without unit and without signs between thousands.`,
    );
  const value = Number(digits);
  // SCPI-1999 answers 9.9E37 for infinity and 9.91E37 for "not a number".
  if (!Number.isFinite(value) || Math.abs(value) >= 9.9e37)
    return bad(`${cell} is what an instrument says when it has no reading. Leave the row out.`);
  return success({ value, digits });
};

const isoTime = /^(\d{4})-(\d{2})-(\d{2})[T ](\d{2}):(\d{2})(?::(\d{2})([.,]\d+)?)?(Z|[+-]\d{2}:?\d{2})?$/i;

/** A time as it was typed: seconds, or a moment as seconds since 1970-01-01T00:00:00Z. */
export type CellTime = { readonly kind: "seconds" | "moment"; readonly seconds: number };

const momentOf = (cell: string, parts: RegExpExecArray): Outcome<CellTime> => {
  const [, year, month, day, hour, minute, second = "0", fraction = "", zone] = parts;
  if (zone === undefined)
    return bad(
      `"${cell}" does not say its time zone. Add Z for UTC, or the difference from it, for example ${cell.replace(" ", "T")}+01:00.`,
    );
  const numbers = [year, month, day, hour, minute, second].map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const [y, mo, d, h, mi, s] = numbers;
  const utc = Date.UTC(y, mo - 1, d, h, mi, s);
  const back = new Date(utc);
  if (back.getUTCMonth() !== mo - 1 || back.getUTCDate() !== d || h > 23 || mi > 59 || s > 59)
    return bad(`there is no such moment as "${cell}".`);
  const offset =
    zone.toUpperCase() === "Z" ? 0 : Number(`${zone[0]}1`) * (Number(zone.slice(1, 3)) * 60 + Number(zone.slice(-2)));
  return success({ kind: "moment", seconds: utc / 1000 - offset * 60 + Number(`0${fraction.replace(",", ".")}`) });
};

/** A time in seconds, or a date and time by ISO 8601 with its time zone. */
export const timeCell = (cell: string, decimalComma: boolean): Outcome<CellTime> => {
  if (cell === "") return bad("the time is missing.");
  const parts = isoTime.exec(cell);
  if (parts !== null) return momentOf(cell, parts);
  const number = numberCell(cell, decimalComma);
  if (!number.ok)
    return bad(`expected seconds, or a date and time such as 2026-03-31T09:30:00Z; found "${cell.slice(0, 40)}".`);
  return number.value.value < 0
    ? bad(`${cell} s is before the beginning. Count seconds from 0.`)
    : success({ kind: "seconds", seconds: number.value.value });
};

/** `as-found` or `as-left`, with a space, a hyphen or an underscore between the words; as-found where nothing is said. */
export const passCell = (cell: string, planned: readonly Pass[]): Outcome<Pass> => {
  if (cell === "") return success("as-found");
  const pass = passes.find((each) => each === cell.toLowerCase().replace(/[\s_]+/g, "-"));
  if (pass === undefined) return bad(`expected as-found or as-left, found "${cell.slice(0, 40)}".`);
  return planned.includes(pass)
    ? success(pass)
    : bad(`the job has no pass ${pass}. Add it to procedure.passes, or correct the row.`);
};

const nearEnough = 1e-6;

/**
 * A point by its number, counted from 1, or by its temperature; `°C` behind it says that a temperature is meant. Null for
 * an empty cell. What could be meant both ways is refused.
 */
export const pointCell = (
  cell: string,
  temperatures: readonly number[],
  decimalComma: boolean,
): Outcome<number | null> => {
  if (cell === "") return success(null);
  const withUnit = /\s*°?\s*C$/i.test(cell);
  const number = numberCell(cell.replace(/\s*°?\s*C$/i, ""), decimalComma);
  const list = temperatures.map((temperature, index) => `${index + 1} (${temperature} °C)`).join(", ");
  if (!number.ok)
    return bad(
      `expected the number of a point, or its temperature; found "${cell.slice(0, 40)}". The job has: ${list}.`,
    );
  const { value } = number.value;
  const byTemperature = temperatures.flatMap((temperature, index) =>
    Math.abs(temperature - value) <= nearEnough ? [index] : [],
  );
  const byNumber =
    !withUnit && Number.isInteger(value) && value >= 1 && value <= temperatures.length ? value - 1 : undefined;
  if (byNumber !== undefined) {
    return byTemperature.every((index) => index === byNumber)
      ? success(byNumber)
      : bad(
          `${cell} is the number of one point and the temperature of another. Write ${cell} °C for the temperature, or number the points.`,
        );
  }
  const [only, another] = byTemperature;
  if (only === undefined) return bad(`the job has no point ${cell}. It has: ${list}.`);
  return another === undefined
    ? success(only)
    : bad(`several points of the job are at ${value} °C. Write the number of the point. The job has: ${list}.`);
};
