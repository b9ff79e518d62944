import type { BitReader, BitWriter } from "./bits.ts";

/** What one property of a template is, and how many bits it takes (the data types of IEEE 1451.4). */
export type FieldType =
  | { readonly kind: "unsigned"; readonly bits: number }
  | { readonly kind: "letters"; readonly count: number }
  | { readonly kind: "date" }
  | { readonly kind: "single" }
  /** Even steps from `start`. */
  | { readonly kind: "even"; readonly bits: number; readonly start: number; readonly step: number }
  /** Steps of the same share: start times (1 + 2·tolerance) to the power of the count. */
  | { readonly kind: "relative"; readonly bits: number; readonly start: number; readonly tolerance: number }
  | { readonly kind: "choice"; readonly bits: number; readonly words: readonly string[] };

/** Numbers as numbers, letters, dates and choices as text; null where the memory says that nothing is known. */
export type FieldValue = number | string | null;

const dayLength = 86_400_000;
/** Dates count days from here. */
const firstDay = Date.UTC(1998, 0, 1);

export const bitsOf = (type: FieldType): number => {
  switch (type.kind) {
    case "letters":
      return 5 * type.count;
    case "date":
      return 16;
    case "single":
      return 32;
    default:
      return type.bits;
  }
};

const single = new DataView(new ArrayBuffer(4));

/** The shortest decimal that the four bytes stand for: 0.0039083, not 0.003908300306648016. */
export const shortestSingle = (value: number): number => {
  for (let digits = 1; digits <= 9; digits += 1) {
    const short = Number(value.toPrecision(digits));
    if (Math.fround(short) === value) return short;
  }
  return value;
};

const dayText = (days: number): string => new Date(firstDay + days * dayLength).toISOString().slice(0, 10);

const letterAt = (code: number): string => (code === 0 ? " " : code <= 26 ? String.fromCharCode(64 + code) : "");

/** All bits set stands for "not known" in dates and scaled numbers. */
const allSet = (bits: number): number => 2 ** bits - 1;

/** Rounds to the digits that the step carries, so that -25E-3 + 3·1E-3 reads -0.022. */
const tidy = (value: number): number => Number(value.toPrecision(12));

/** A field's value; undefined where the stream ends before. */
export const readField = (reader: BitReader, type: FieldType): FieldValue | undefined => {
  if (type.kind === "letters") {
    const codes = Array.from({ length: type.count }, () => reader.unsigned(5));
    if (codes.includes(null)) return undefined;
    return codes
      .map((code) => letterAt(code!))
      .join("")
      .trim();
  }
  const raw = reader.unsigned(bitsOf(type));
  if (raw === null) return undefined;
  switch (type.kind) {
    case "unsigned":
      return raw;
    case "date":
      return raw === allSet(16) || raw === 0 ? null : dayText(raw);
    case "single": {
      single.setUint32(0, raw);
      const value = single.getFloat32(0);
      return Number.isFinite(value) ? shortestSingle(value) : null;
    }
    case "even":
      return raw === allSet(type.bits) ? null : tidy(type.start + raw * type.step);
    case "relative":
      return raw === allSet(type.bits) ? null : Number((type.start * (1 + 2 * type.tolerance) ** raw).toPrecision(6));
    case "choice":
      return type.words[raw] ?? null;
  }
};

const scaled = (value: FieldValue, bits: number, steps: (value: number) => number): number | null => {
  if (value === null) return allSet(bits);
  if (typeof value !== "number") return null;
  const count = Math.round(steps(value));
  return count >= 0 && count < allSet(bits) ? count : null;
};

const dateCode = (value: FieldValue): number | null => {
  if (value === null) return allSet(16);
  const days = (Date.parse(`${value}T00:00:00Z`) - firstDay) / dayLength;
  return Number.isInteger(days) && days > 0 && days < allSet(16) ? days : null;
};

const singleCode = (value: FieldValue): number | null => {
  if (typeof value === "string") return null;
  single.setFloat32(0, value ?? Number.NaN);
  return value !== null && !Number.isFinite(single.getFloat32(0)) ? null : single.getUint32(0);
};

const codeOf = (type: Exclude<FieldType, { kind: "letters" }>, value: FieldValue): number | null => {
  switch (type.kind) {
    case "unsigned":
      return typeof value === "number" && Number.isInteger(value) && value >= 0 && value <= allSet(type.bits)
        ? value
        : null;
    case "date":
      return dateCode(value);
    case "single":
      return singleCode(value);
    case "even":
      return scaled(value, type.bits, (number) => (number - type.start) / type.step);
    case "relative":
      return scaled(value, type.bits, (number) => Math.log(number / type.start) / Math.log(1 + 2 * type.tolerance));
    case "choice": {
      const index = typeof value === "string" ? type.words.indexOf(value) : -1;
      return index >= 0 ? index : null;
    }
  }
};

/** Writes a value; false, with nothing written, where the field cannot hold it. A scaled number is rounded to its step. */
export const writeField = (writer: BitWriter, type: FieldType, value: FieldValue): boolean => {
  if (type.kind === "letters") {
    if (typeof value !== "string" || value.length > type.count || !/^[A-Z ]*$/.test(value)) return false;
    for (const letter of value.padEnd(type.count)) writer.unsigned(letter === " " ? 0 : letter.charCodeAt(0) - 64, 5);
    return true;
  }
  const code = codeOf(type, value);
  if (code === null) return false;
  writer.unsigned(code, bitsOf(type));
  return true;
};
