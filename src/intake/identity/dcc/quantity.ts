import { under, textAt, type Element } from "./safe-xml.ts";
import { unitMeant, type UnitMeant } from "./dsi-unit.ts";

/** A number as printed, in the unit of its list: its value, and its places after the point. */
export interface PrintedValue {
  readonly value: number;
  readonly places: number;
}

export interface UncertaintyList {
  /** As many as there are values; in the unit of the values, or in K where those are in °C. */
  readonly expanded: readonly number[];
  readonly k: readonly number[];
}

/** A quantity of a certificate: one value or a list of them. */
export interface Quantity {
  readonly types: readonly string[];
  readonly names: readonly string[];
  readonly values: readonly PrintedValue[];
  readonly unit: UnitMeant | null;
  /** As written, for tables of what is not understood. */
  readonly unitText: string;
  readonly uncertainty: UncertaintyList | null;
}

const number = /^[+-]?(?:\d+(?:\.(\d*))?|\.(\d+))(?:[eE]([+-]?\d{1,3}))?$/;

const printedValue = (text: string): PrintedValue | null => {
  if (text === "NaN") return { value: Number.NaN, places: 0 };
  const found = number.exec(text);
  if (found === null) return null;
  const fraction = (found[1] ?? found[2] ?? "").length;
  return { value: Number(text), places: Math.max(fraction - Number(found[3] ?? 0), 0) };
};

/** A decimal moved by a power of ten without losing its digits. */
const shifted = ({ value, places }: PrintedValue, power: number): PrintedValue =>
  power === 0 ? { value, places } : { value: Number(`${value}e${power}`), places: Math.max(places - power, 0) };

const numbersIn = (text: string | null): readonly PrintedValue[] | null => {
  if (text === null) return null;
  const values = text.split(/\s+/).map(printedValue);
  return values.includes(null) ? null : (values as readonly PrintedValue[]);
};

const firstNumbers = (element: Element, paths: readonly (readonly string[])[]): readonly PrintedValue[] | null => {
  for (const path of paths) {
    const found = numbersIn(textAt(element, ...path));
    if (found !== null) return found;
  }
  return null;
};

/** Where D-SI keeps expanded uncertainties and coverage factors, in its versions 2.1 and 2.2, of lists and of single values. */
const expandedPaths = [
  ["si:measurementUncertaintyUnivariateXMLList", "si:expandedMUXMLList", "si:valueExpandedMUXMLList"],
  ["si:expandedUncXMLList", "si:uncertaintyXMLList"],
  ["si:measurementUncertaintyUnivariate", "si:expandedMU", "si:valueExpandedMU"],
  ["si:expandedUnc", "si:uncertainty"],
];
const factorPaths = [
  ["si:measurementUncertaintyUnivariateXMLList", "si:expandedMUXMLList", "si:coverageFactorXMLList"],
  ["si:expandedUncXMLList", "si:coverageFactorXMLList"],
  ["si:measurementUncertaintyUnivariate", "si:expandedMU", "si:coverageFactor"],
  ["si:expandedUnc", "si:coverageFactor"],
];

/** One value for all, or one for each; null where neither fits. */
const spread = (values: readonly number[] | null, count: number): readonly number[] | null => {
  if (values === null) return null;
  if (values.length === count) return values;
  return values.length === 1 ? Array.from({ length: count }, () => values[0]!) : null;
};

const uncertaintyOf = (element: Element, count: number, power: number): UncertaintyList | null => {
  const expanded = firstNumbers(element, expandedPaths)?.map((value) => shifted(value, power).value) ?? null;
  const factor = firstNumbers(element, factorPaths)?.map(({ value }) => value) ?? null;
  const [U, k] = [spread(expanded, count), spread(factor, count)];
  return U === null || k === null || ![...U, ...k].every((value) => value > 0) ? null : { expanded: U, k };
};

interface Listed {
  readonly element: Element;
  readonly values: readonly PrintedValue[];
  readonly unit: UnitMeant | null;
  readonly unitText: string;
}

const listedIn = (element: Element): Listed | null => {
  const single = element.name === "si:real" || element.name === "si:constant";
  if (!single && element.name !== "si:realListXMLList") return null;
  const values = numbersIn(textAt(element, single ? "si:value" : "si:valueXMLList"));
  const unitText = textAt(element, single ? "si:unit" : "si:unitXMLList");
  if (values === null || unitText === null) return null;
  const [first, ...others] = unitText.split(/\s+(?=\\)/);
  if (others.some((other) => other !== first)) return null;
  return { element, values, unit: unitMeant(first!), unitText: first! };
};

/** Of several ways in which the same values are given, °C rather than K. */
const preferred = (lists: readonly Listed[]): Listed | undefined =>
  lists.find(({ unit }) => unit?.kind === "celsius") ?? lists.find(({ unit }) => unit !== null) ?? lists[0];

/** Every word by which the quantity goes: its id, its label, its names. */
const namesOf = (element: Element, list: Element): readonly string[] =>
  [
    element.attributes["id"],
    textAt(list, "si:label"),
    ...under(element, "dcc:name", "dcc:content").map(({ text }) => text),
    ...under(element, "dcc:description", "dcc:formula", "dcc:latex").map(({ text }) => text),
  ].filter((word): word is string => typeof word === "string" && word !== "");

/** A `dcc:quantity` with its numbers; null where it holds none that can be read. Values are moved to °C, K, Ω, mV, mA. */
export const readQuantity = (element: Element): Quantity | null => {
  const direct = element.children.flatMap((child) => (child.name === "si:hybrid" ? child.children : [child]));
  const lists = direct.map(listedIn).filter((list) => list !== null);
  const list = preferred(lists);
  if (list === undefined) return null;
  const power = list.unit !== null && list.unit.kind !== "celsius" ? list.unit.power : 0;
  const uncertainty = lists
    .map((other) =>
      other === list || (other.unit?.kind === "kelvin" && list.unit?.kind === "celsius")
        ? uncertaintyOf(other.element, list.values.length, other === list ? power : 0)
        : null,
    )
    .find((found) => found !== null);
  return {
    types: (element.attributes["refType"] ?? "").split(/\s+/).filter((type) => type !== ""),
    names: namesOf(element, list.element),
    values: list.values.map((value) => shifted(value, power)),
    unit: list.unit,
    unitText: list.unitText,
    uncertainty: uncertainty ?? null,
  };
};

/** Temperatures in °C, with the printed places kept; null where the quantity is no temperature. */
export const celsiusOf = ({ values, unit }: Quantity): readonly PrintedValue[] | null => {
  if (unit?.kind === "celsius") return values;
  if (unit?.kind !== "kelvin") return null;
  return values.map(({ value, places }) => ({
    value: Number((value - 273.15).toFixed(Math.min(Math.max(places, 2), 15))),
    places: Math.max(places, 2),
  }));
};
