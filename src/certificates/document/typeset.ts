import type { Cell } from "./model.ts";

const thinSpace = "\u202f";
const minusSign = "\u2212";

/** A number's text with the typographic minus sign. */
export const setMinus = (plain: string): string => plain.replaceAll("-", minusSign);

/** A number's text as a program reads it: ASCII minus, no plus, no spaces. */
export const plainNumber = (text: string): string => text.replaceAll(minusSign, "-").replaceAll("+", "").trim();

/** A reported number, both ways. */
export const cell = (reported: string): Cell => {
  const plain = plainNumber(reported);
  return { text: setMinus(plain), plain };
};

/** A number that stands in the log as it was written there, without an exponent and without binary noise in the last digits. */
export const decimal = (value: number): string => {
  const rounded = Number(value.toPrecision(12));
  if (rounded === 0) return "0";
  const text = String(rounded);
  if (!text.includes("e")) return text;
  const long = rounded.toFixed(15).replace(/\.?0+$/, "");
  return long === "-0" ? "0" : long;
};

/** A number from the log cut to so many significant digits, for evidence that is not itself a result. */
export const significant = (value: number, digits: number): string => {
  if (value === 0 || !Number.isFinite(value)) return "0";
  const places = digits - 1 - Math.floor(Math.log10(Math.abs(value)));
  return value.toFixed(Math.min(Math.max(places, 0), 9));
};

/** Number and unit with a thin space that does not break. */
export const withUnit = (plain: string, unit: string): string => `${setMinus(plain)}${thinSpace}${unit}`;

/** value ± half width, with unit. */
export const withHalfWidth = (value: number, halfWidth: number, unit: string): string =>
  halfWidth === 0
    ? withUnit(decimal(value), unit)
    : `(${setMinus(decimal(value))}${thinSpace}±${thinSpace}${decimal(halfWidth)})${thinSpace}${unit}`;

const placesOf = (plain: string): number => (plain.includes(".") ? plain.length - plain.indexOf(".") - 1 : 0);

/** How many decimals a column of limits needs: as the limits have, but never more than one beyond the reported errors. */
export const limitPlaces = (limits: readonly number[], reportedErrors: readonly string[]): number => {
  const wanted = Math.max(0, ...limits.map((limit) => placesOf(decimal(limit))));
  const allowed = 1 + Math.max(0, ...reportedErrors.map((error) => placesOf(plainNumber(error))));
  return Math.min(wanted, allowed);
};

/** A limit of error, K. Where digits must go they go inwards, so that paper never allows more than the rule does. */
export const limitText = (value: number, places: number, side: "lower" | "upper"): string => {
  const scale = 10 ** places;
  const scaled = Number((value * scale).toPrecision(12));
  const inward = side === "upper" ? Math.floor(scaled) : Math.ceil(scaled);
  const text = (inward / scale).toFixed(places);
  return Number(text) === 0 ? (0).toFixed(places) : text;
};

/** Two limits as one cell: ± where they are the same, else both. */
export const limitsCell = (lower: string, upper: string): Cell =>
  lower === `-${upper}`
    ? { text: `±${upper}`, plain: `±${upper}` }
    : {
        text: `${setMinus(lower)}${thinSpace}/${thinSpace}${upper.startsWith("-") ? setMinus(upper) : `+${upper}`}`,
        plain: `${lower} ${upper}`,
      };

/** A small probability in per cent; what lies below a tenth of a per cent is called so. */
export const percent = (share: number): string => {
  if (share < 0.001) return `<${thinSpace}0.1${thinSpace}%`;
  return `${significant(share * 100, 2)}${thinSpace}%`;
};
