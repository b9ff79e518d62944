/** A unit of D-SI by what it measures, with the power of ten to the unit that this product uses. */
export type UnitMeant =
  | { readonly kind: "celsius" }
  | {
      readonly kind: "kelvin" | "ohm" | "millivolt" | "milliampere" | "one" | "metre";
      readonly power: number;
    }
  /** Of coefficients: kelvin to the power of `exponent`. */
  | { readonly kind: "kelvin-power"; readonly exponent: number; readonly power: number };

const prefixes: Readonly<Record<string, number>> = {
  nano: -9,
  micro: -6,
  milli: -3,
  centi: -2,
  kilo: 3,
  mega: 6,
  giga: 9,
};

/** Exponents of metre, kilogram, second, ampere, kelvin, and a power of ten. */
type Dimension = readonly [number, number, number, number, number, number];

const units: Readonly<Record<string, Dimension>> = {
  metre: [1, 0, 0, 0, 0, 0],
  kilogram: [0, 1, 0, 0, 0, 0],
  gram: [0, 1, 0, 0, 0, -3],
  second: [0, 0, 1, 0, 0, 0],
  ampere: [0, 0, 0, 1, 0, 0],
  kelvin: [0, 0, 0, 0, 1, 0],
  degreecelsius: [0, 0, 0, 0, 1, 0],
  celsius: [0, 0, 0, 0, 1, 0],
  ohm: [2, 1, -3, -2, 0, 0],
  volt: [2, 1, -3, -1, 0, 0],
  one: [0, 0, 0, 0, 0, 0],
  percent: [0, 0, 0, 0, 0, -2],
};

const celsiusNames = new Set(["degreecelsius", "celsius"]);
const token = /\\([a-zA-Z]+)(?:\{(-?\d{1,2}(?:\.\d+)?)\})?\s*/y;

interface Part {
  readonly word: string;
  readonly argument: string | undefined;
}

const partsOf = (text: string): readonly Part[] | null => {
  const parts: Part[] = [];
  token.lastIndex = 0;
  while (token.lastIndex < text.length) {
    const found = token.exec(text);
    if (found === null || parts.length > 40) return null;
    parts.push({ word: found[1]!.toLowerCase(), argument: found[2] });
  }
  return parts;
};

const times = (one: Dimension, other: Dimension, exponent: number): Dimension =>
  one.map((value, index) => value + other[index]! * exponent) as unknown as Dimension;

const productOf = (parts: readonly Part[]): Dimension | null => {
  let product: Dimension = [0, 0, 0, 0, 0, 0];
  let prefix = 0;
  let sign = 1;
  for (let index = 0; index < parts.length; index += 1) {
    const { word } = parts[index]!;
    if (word === "per") {
      sign = -1;
      continue;
    }
    if (word in prefixes) {
      prefix += prefixes[word]!;
      continue;
    }
    const unit = units[word];
    if (unit === undefined) return null;
    const next = parts[index + 1];
    const exponent = next?.word === "tothe" ? Number(next.argument) : 1;
    if (!Number.isFinite(exponent)) return null;
    if (next?.word === "tothe") index += 1;
    product = times(product, [...unit.slice(0, 5), unit[5] + prefix] as unknown as Dimension, sign * exponent);
    prefix = 0;
    sign = 1;
  }
  return prefix === 0 && sign === 1 ? product : null;
};

const kinds = [
  ["kelvin", units.kelvin!, 0],
  ["ohm", units.ohm!, 0],
  ["millivolt", units.volt!, 3],
  ["milliampere", units.ampere!, 3],
  ["one", units.one!, 0],
  ["metre", units.metre!, 0],
] as const;

/**
 * What a unit in the notation of D-SI means (`\milli\volt`, `\kelvin\tothe{-1}`, the ohm in base units …); null where it is
 * none of those that a thermometer's certificate needs. `power` is the power of ten to °C, K, Ω, mV or mA.
 */
export const unitMeant = (text: string): UnitMeant | null => {
  const parts = partsOf(text.trim());
  if (parts === null || parts.length === 0) return null;
  if (parts.length === 1 && celsiusNames.has(parts[0]!.word)) return { kind: "celsius" };
  const product = productOf(parts);
  if (product === null) return null;
  const [, , , , kelvin, power] = product;
  for (const [kind, unit, shift] of kinds)
    if (unit.slice(0, 5).every((value, index) => value === product[index])) return { kind, power: power + shift };
  return product.slice(0, 4).every((value) => value === 0) ? { kind: "kelvin-power", exponent: kelvin, power } : null;
};
