import type { CheckValue } from "#calibration";
import type { SignalUnit } from "#quantity";
import type { BroughtPoint, BroughtTable } from "../brought.ts";
import { sensorFrom, type FoundSensor } from "./coefficients.ts";
import type { UnitMeant } from "./dsi-unit.ts";
import { hasType, wordsAt } from "./names.ts";
import { celsiusOf, readQuantity, type Quantity } from "./quantity.ts";
import { under, within, type Element } from "./safe-xml.ts";

export interface ReadResults extends FoundSensor {
  /** Points of the last result that has some. */
  readonly points: readonly BroughtPoint[];
  readonly checkValues: readonly CheckValue[];
  readonly tables: readonly BroughtTable[];
}

const unitNames: Partial<Record<UnitMeant["kind"], string>> = {
  celsius: "°C",
  kelvin: "K",
  ohm: "Ω",
  millivolt: "mV",
  milliampere: "mA",
  metre: "m",
  one: "",
};

const signalOf = (unit: UnitMeant | null): SignalUnit | null => {
  switch (unit?.kind) {
    case "celsius":
    case "kelvin":
      return "°C";
    case "ohm":
      return "Ω";
    case "millivolt":
      return "mV";
    case "milliampere":
      return "mA";
    default:
      return null;
  }
};

interface Column {
  readonly element: Element;
  readonly quantity: Quantity;
}

const columnsOf = (list: Element): readonly Column[] =>
  under(list, "dcc:quantity").flatMap((element) => {
    const quantity = readQuantity(element);
    return quantity === null ? [] : [{ element, quantity }];
  });

const withType = (columns: readonly Column[], type: string): Quantity | undefined =>
  columns.find(({ element }) => hasType(element, type))?.quantity;

const finite = (value: number | undefined): number | null =>
  value === undefined || !Number.isFinite(value) ? null : value;

/** The uncertainty of a point: that of its error where there is one, otherwise that of what was read. */
const uncertaintyAt = (
  error: Quantity | undefined,
  measured: Quantity | undefined,
  index: number,
): Pick<BroughtPoint, "U" | "uncertaintyUnit" | "k"> => {
  for (const quantity of [error, measured]) {
    const list = quantity?.uncertainty;
    if (quantity === undefined || list === null || list === undefined) continue;
    const unit = signalOf(quantity.unit);
    return {
      U: list.expanded[index] ?? null,
      uncertaintyUnit: unit === "°C" ? "K" : unit,
      k: list.k[index] ?? null,
    };
  }
  return { U: null, uncertaintyUnit: null, k: null };
};

const pointsOf = (columns: readonly Column[]): readonly BroughtPoint[] => {
  const reference = withType(columns, "basic_referenceValue");
  const temperatures = reference === undefined ? null : celsiusOf(reference);
  if (temperatures === null) return [];
  const measured = withType(columns, "basic_measuredValue");
  const error = withType(columns, "basic_measurementError");
  if (measured === undefined && error === undefined) return [];
  const readings = measured === undefined ? null : (celsiusOf(measured) ?? measured.values);
  return temperatures.flatMap(({ value: temperature }, index): BroughtPoint[] =>
    Number.isFinite(temperature)
      ? [
          {
            temperature,
            measured: finite(readings?.[index]?.value),
            unit: measured === undefined ? null : signalOf(measured.unit),
            error: error?.unit?.kind === "kelvin" ? finite(error.values[index]?.value) : null,
            ...uncertaintyAt(error, measured, index),
          },
        ]
      : [],
  );
};

/** Temperatures with the signals that the equation gives there: what a formula was shown to give, or our table of it. */
const checkPairs = [
  ["basic_formulaInputQuantity", "basic_formulaOutputQuantity"],
  ["dwellpoint_temperature", "dwellpoint_signal"],
] as const;

const checkValuesOf = (columns: readonly Column[]): readonly CheckValue[] => {
  for (const [from, to] of checkPairs) {
    const [input, output] = [withType(columns, from), withType(columns, to)];
    const temperatures = input === undefined ? null : celsiusOf(input);
    if (temperatures === null || output === undefined || signalOf(output.unit) === null) continue;
    // A list of values is printed to one number of places; a value that is shorter has lost zeros.
    const digits = Math.min(Math.max(...output.values.map(({ places }) => places)), 15);
    return temperatures.flatMap(({ value: temperature }, index) => {
      const signal = output.values[index]?.value;
      return signal !== undefined && Number.isFinite(signal) && Number.isFinite(temperature)
        ? [{ temperature, signal, digits }]
        : [];
    });
  }
  return [];
};

const printed = (value: number, places: number): string =>
  Number.isFinite(value) ? (places > 12 ? String(value) : value.toFixed(places)) : "–";

const tableOf = (title: string, columns: readonly Column[]): BroughtTable | null => {
  const length = Math.max(0, ...columns.map(({ quantity }) => quantity.values.length));
  const used = columns.filter(({ quantity }) => quantity.values.length === length);
  if (length < 2 || used.length < 2) return null;
  const cells = used.flatMap(({ element, quantity }) => {
    const label = wordsAt(element, "dcc:name") ?? quantity.names[0] ?? "";
    const unit = (quantity.unit === null ? undefined : unitNames[quantity.unit.kind]) ?? quantity.unitText;
    const values = quantity.values.map(({ value, places }) => printed(value, places));
    const own = { label, unit, values };
    if (quantity.uncertainty === null) return [own];
    const { expanded, k } = quantity.uncertainty;
    return [
      own,
      { label: "U", unit: unit === "°C" ? "K" : unit, values: expanded.map(String) },
      { label: "k", unit: "", values: k.map(String) },
    ];
  });
  return {
    title,
    columns: cells.map(({ label, unit }) => ({ label, unit })),
    rows: Array.from({ length }, (_, row) => cells.map(({ values }) => values[row]!)),
  };
};

/** What a `dcc:measurementResult` says: points, tables, and a sensor where its coefficients are recognised. */
export const readResults = (results: readonly Element[], itemWords: string): ReadResults => {
  let points: readonly BroughtPoint[] = [];
  let checkValues: readonly CheckValue[] = [];
  let found: FoundSensor = { sensor: null, notes: [] };
  const tables: BroughtTable[] = [];
  for (const result of results) {
    const title = wordsAt(result, "dcc:name") ?? "Results";
    const words = [itemWords, title, ...within(result, "dcc:content").map(({ text }) => text)].join(" · ");
    const sensor = sensorFrom(
      within(result, "dcc:quantity")
        .map(readQuantity)
        .filter((quantity) => quantity !== null),
      words,
    );
    if (sensor.sensor !== null || (found.sensor === null && sensor.notes.length > 0)) found = sensor;
    for (const list of within(result, "dcc:list")) {
      const columns = columnsOf(list);
      const read = pointsOf(columns);
      if (read.length > 0) points = read;
      const checks = checkValuesOf(columns);
      if (checks.length > 0) checkValues = checks;
      const table = tableOf(title, columns);
      if (table !== null) tables.push(table);
    }
  }
  return { ...found, points, checkValues, tables };
};
