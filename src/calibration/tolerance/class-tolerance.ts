import { failure, success, type Outcome } from "#fault";
import type { ThermocoupleType } from "#thermometry";
import type { Tolerance, ToleranceClass } from "../job/item.ts";
import platinum from "./platinum-classes.json" with { type: "json" };
import thermocouple from "./thermocouple-classes.json" with { type: "json" };

/** Limits of an error, in K: what is measured minus what is true must lie between them, ends included. */
export interface ToleranceLimits {
  readonly lower: number;
  readonly upper: number;
}

/** ± a limit, without the crumbs of binary fractions: 0.1 + 0.0017·150 is 0.355. */
export const symmetric = (limit: number): ToleranceLimits => {
  const tidy = Number(limit.toPrecision(12));
  return { lower: -tidy, upper: tidy };
};

export type Construction = NonNullable<Tolerance["construction"]>;

interface Row {
  readonly lower: number;
  readonly upper: number;
  readonly kelvin?: number;
  readonly ofTemperature?: number;
  readonly perKelvinAbove?: { readonly temperature: number; readonly rate: number };
}

type Table = Readonly<Partial<Record<string, Readonly<Partial<Record<string, readonly Row[]>>>>>>;

const thermocoupleTables: Readonly<Record<string, Table>> = {
  "iec-60584-1": thermocouple["iec-60584-1"].classes,
  "astm-e230": thermocouple["astm-e230"].classes,
};

const rowLimit = ({ kelvin = 0, ofTemperature = 0, perKelvinAbove }: Row, temperature: number): number => {
  const more = perKelvinAbove === undefined ? 0 : perKelvinAbove.rate * (temperature - perKelvinAbove.temperature);
  return Math.max(kelvin + more, ofTemperature * Math.abs(temperature));
};

const undefinedHere = (message: string, data: Readonly<Record<string, unknown>>): Outcome<never> =>
  failure("tolerance.undefined", message, data);

const figure = (value: number): string => String(Number(value.toPrecision(7)));

const outsideClass = (name: string, temperature: number, range: ToleranceLimits): Outcome<never> =>
  undefinedHere(
    `${name} is defined from ${range.lower} °C to ${range.upper} °C, not at ${figure(temperature)} °C. Choose a temperature within, another class, or limits agreed with the customer.`,
    { temperature, lower: range.lower, upper: range.upper },
  );

const thermocoupleLimit = (
  standard: string,
  grade: string,
  type: ThermocoupleType | undefined,
  temperature: number,
): Outcome<number> => {
  if (type === undefined) {
    return undefinedHere(
      `Class ${standard}/${grade} is for thermocouples: say which type, or give limits of your own.`,
      { class: `${standard}/${grade}` },
    );
  }
  const rows = thermocoupleTables[standard]?.[type]?.[grade];
  const name = `Class ${standard}/${grade} for type ${type}`;
  if (rows === undefined)
    return undefinedHere(
      `There is no class ${standard}/${grade} for type ${type}. Choose another class, or limits agreed with the customer.`,
      { class: `${standard}/${grade}`, type },
    );
  const limits = rows
    .filter(({ lower, upper }) => temperature >= lower && temperature <= upper)
    .map((row) => rowLimit(row, temperature));
  if (limits.length === 0) return outsideClass(name, temperature, { lower: rows[0]!.lower, upper: rows.at(-1)!.upper });
  return success(Math.max(...limits));
};

const platinumLimit = (grade: string, temperature: number, construction: Construction): Outcome<number> => {
  const entry = (platinum.classes as Readonly<Partial<Record<string, (typeof platinum.classes)["A"]>>>)[grade];
  if (entry === undefined)
    return undefinedHere(`IEC 60751 has no class ${grade}. It has ${Object.keys(platinum.classes).join(", ")}.`, {
      class: grade,
    });
  const range = entry.ranges[construction];
  if (!(temperature >= range.lower && temperature <= range.upper)) {
    return outsideClass(`Class iec-60751/${grade} (${construction})`, temperature, range);
  }
  return success(entry.kelvin + entry.ofTemperature * Math.abs(temperature));
};

/**
 * Limits in K of a tolerance class of a standard at a temperature in °C (t90).
 *
 * IEC 60584-1:2013 classes 1 to 3 and ASTM E230 standard and special need the thermocouple's type; IEC 60751 classes AA,
 * A, B and C take the range of the construction, wire-wound (the wider one) where nothing is said. Outside the class's
 * range, for a type that the class leaves out, and for what is not a number: `tolerance.undefined`.
 */
export const classTolerance = (
  toleranceClass: ToleranceClass,
  type: ThermocoupleType | undefined,
  temperature: number,
  construction: Construction = "wire-wound",
): Outcome<ToleranceLimits> => {
  const [standard = "", grade = ""] = toleranceClass.split("/");
  if (!Number.isFinite(temperature))
    return undefinedHere("A tolerance needs a temperature that is a finite number, in °C.", {
      temperature: String(temperature),
    });
  const limit =
    standard === "iec-60751"
      ? platinumLimit(grade, temperature, construction)
      : thermocoupleLimit(standard, grade, type, temperature);
  return limit.ok ? success(symmetric(limit.value)) : limit;
};
