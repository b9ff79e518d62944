import { failure, success, type Outcome } from "#fault";
import { readFiniteNumber } from "./json-lines.ts";

type Fields = Readonly<Record<string, unknown>>;

/**
 * Numbers of named fields that are there, each finite; a field that is absent is left out of the answer. The first one
 * that is not a finite number is the failure, named with `where` before it.
 */
export const readNumbers = <K extends string>(
  object: Fields,
  fields: readonly K[],
  where = "",
): Outcome<{ readonly [key in K]?: number }> => {
  const numbers: { [key in K]?: number } = {};
  for (const field of fields) {
    if (object[field] === undefined) continue;
    const number = readFiniteNumber(`${where}${field}`, object[field]);
    if (!number.ok) return number;
    numbers[field] = number.value;
  }
  return success(numbers);
};

/** One of some words, or a sentence that lists them. */
export const readWord = <W extends string>(field: string, value: unknown, words: readonly W[]): Outcome<W> =>
  words.includes(value as W)
    ? success(value as W)
    : failure("input.invalid", `Field "${field}" must be one of ${words.join(", ")}.`, { field });

/** An object with only these fields, `where` saying which one it is. */
export const readFields = (value: unknown, fields: readonly string[], where: string): Outcome<Fields> => {
  if (typeof value !== "object" || value === null || Array.isArray(value))
    return failure("input.invalid", `${where} must be a JSON object with ${fields.join(", ")}.`, { field: where });
  const unknown = Object.keys(value).find((key) => !fields.includes(key));
  return unknown === undefined
    ? success(value as Fields)
    : failure("input.invalid", `There is no field "${unknown}" in ${where}. The fields are ${fields.join(", ")}.`, {
        field: `${where}.${unknown}`,
      });
};

/** A list of objects, each with only these fields. */
export const readList = (value: unknown, fields: readonly string[], where: string): Outcome<readonly Fields[]> => {
  if (!Array.isArray(value)) return failure("input.invalid", `Field "${where}" must be a list.`, { field: where });
  const rows: Fields[] = [];
  for (const [index, entry] of value.entries()) {
    const row = readFields(entry, fields, `${where}[${index}]`);
    if (!row.ok) return row;
    rows.push(row.value);
  }
  return success(rows);
};
