import type { SignalUnit } from "#quantity";
import { unitMeant } from "../document/unit-meant.ts";

/** Units that differ from a channel's own by a power of ten, as recorders write them. */
const scaled: Readonly<Record<string, readonly [SignalUnit, number]>> = {
  v: ["mV", 3],
  volt: ["mV", 3],
  uv: ["mV", -3],
  µv: ["mV", -3],
  μv: ["mV", -3],
  a: ["mA", 3],
  ua: ["mA", -3],
  µa: ["mA", -3],
  μa: ["mA", -3],
  kω: ["Ω", 3],
  kohm: ["Ω", 3],
};

/** The unit of a channel that a text stands for, and by how many places the decimal point moves on the way to it. */
export interface DecimalUnit {
  readonly unit: SignalUnit;
  readonly places: number;
}

/** What a text says as a unit; undefined where it is none that can be brought to a channel's by moving the point. */
export const decimalUnit = (text: string): DecimalUnit | undefined => {
  const plain = unitMeant(text);
  if (plain !== undefined) return { unit: plain, places: 0 };
  const found = scaled[text.normalize("NFC").trim().toLowerCase()];
  return found === undefined ? undefined : { unit: found[0], places: found[1] };
};

/** The digits with their point moved: exactly, with the digits that were read and no others. */
export const movedPoint = (digits: string, places: number): string => {
  if (places === 0) return digits;
  const [, sign = "", mantissa = "", exponent] = /^([+-]?)([\d.]+)(?:[eE]([+-]?\d+))?$/.exec(digits) ?? [];
  if (exponent !== undefined) return `${sign}${mantissa}e${Number(exponent) + places}`;
  const [whole = "", part = ""] = mantissa.split(".");
  const at = whole.length + places;
  const all = at < 0 ? "0".repeat(-at) + whole + part : whole + part;
  const point = Math.max(0, at);
  const padded = all.padEnd(point, "0");
  const left = padded.slice(0, point).replace(/^0+(?=\d)/, "") || "0";
  const right = padded.slice(point);
  return `${sign}${left}${right === "" ? "" : `.${right}`}`;
};
