import { coefficientsOf, figureAt, type KitCalibration } from "#calibration";
import type { BroughtAnswer, KitEntryShown } from "#contract";
import type { Brought, BroughtEntry } from "#intake";

const soonDays = 30;
const dayLength = 86_400_000;

const dayAfter = (day: string, days: number): string =>
  new Date(Date.parse(`${day}T00:00:00Z`) + days * dayLength).toISOString().slice(0, 10);

const stateOf = (due: string | null, today: string): KitEntryShown["state"] => {
  if (due === null) return "none";
  if (due < today) return "past";
  return due <= dayAfter(today, soonDays) ? "soon" : "valid";
};

/** A kit entry in a list. */
export const shownEntry = ({ kind, entry }: BroughtEntry, today: string): KitEntryShown => {
  const calibration = "calibration" in entry ? entry.calibration : null;
  return {
    kind,
    id: entry.id,
    description: entry.description,
    model: entry.model ?? null,
    serial: entry.serial,
    dataSheet: entry.dataSheet ?? null,
    revision: entry.revision,
    certificate: calibration?.certificate ?? null,
    due: calibration?.due ?? null,
    state: stateOf(calibration?.due ?? null, today),
  };
};

interface Fact {
  readonly label: string;
  readonly text: string;
}

const fact = (label: string, text: string | number | null | undefined): Fact[] =>
  text === null || text === undefined || text === "" ? [] : [{ label, text: String(text) }];

const rangeText = (range: { minimum: number; maximum: number } | null): string | null =>
  range === null ? null : `${range.minimum} °C to ${range.maximum} °C`;

const figureText = (figure: KitCalibration["uncertainty"] | null): string | null => {
  if (figure === null || figure === undefined) return null;
  if (typeof figure === "number") return `${figure} K`;
  const values = figure.map(({ value }) => value);
  return `${Math.min(...values)} K to ${Math.max(...values)} K, over ${figure.length} temperatures`;
};

const equationText = (sensor: Brought["sensor"]): string | null => {
  if (sensor === null) return null;
  switch (sensor.kind) {
    case "platinum":
      return sensor.equation === "its-90" ? "platinum, ITS-90 deviation functions" : "platinum, Callendar-Van Dusen";
    case "thermocouple":
      return `thermocouple of type ${sensor.type}${sensor.deviation === undefined ? "" : ", with its deviation"}`;
    case "thermistor":
      return "thermistor, Steinhart-Hart";
    case "indication":
      return "indicates °C";
    default:
      return sensor.kind;
  }
};

/** Coefficients with all digits that they have. */
export const coefficientTexts = (sensor: Brought["sensor"]): { name: string; value: string }[] =>
  sensor === null ? [] : coefficientsOf(sensor).map(({ name, value }) => ({ name, value: String(value) }));

/** What is recorded of an entry, in words. */
export const entryFacts = ({ kind, entry }: BroughtEntry): Fact[] => {
  const calibration = "calibration" in entry ? entry.calibration : null;
  return [
    ...fact("serial number", entry.serial),
    ...fact("model", entry.model),
    ...fact("data sheet", entry.dataSheet),
    ...(kind === "reference" ? fact("sensor", equationText(entry.sensor)) : []),
    ...fact("range", "range" in entry ? rangeText(entry.range) : null),
    ...fact("certificate", calibration?.certificate),
    ...fact("laboratory", calibration?.laboratory),
    ...fact("calibrated", calibration?.date),
    ...fact("due", calibration?.due),
    ...(kind === "reference" ? fact("drift", `${entry.driftPerYear} K a year at most`) : []),
    ...(kind === "source" ? fact("class", entry.class) : []),
    ...(kind === "source" ? fact("characterised", entry.characterised) : []),
  ];
};

const curvePoints = 9;

/** Expanded uncertainty of a reference's own calibration over its range. */
export const uncertaintyOver = (brought: BroughtEntry): { temperature: number; U: number }[] => {
  if (brought.kind !== "reference") return [];
  const { range, calibration } = brought.entry;
  return Array.from({ length: curvePoints }, (_, index) => {
    const temperature = range.minimum + ((range.maximum - range.minimum) * index) / (curvePoints - 1);
    return { temperature, U: figureAt(calibration.uncertainty, temperature) };
  });
};

/** What was brought, for the page. */
export const shownBrought = (brought: Brought, item: number): BroughtAnswer["items"][number] => {
  const { identity, calibration } = brought;
  return {
    item,
    source: brought.source,
    facts: [
      ...fact("serial number", identity.serial),
      ...fact("data sheet", identity.dataSheet),
      ...fact("maker", identity.manufacturer),
      ...fact("model", identity.model),
      ...fact("what it is", identity.description),
      ...identity.further.flatMap(({ label, value }) => fact(label, value)),
      ...fact("certificate", calibration.certificate),
      ...fact("laboratory", calibration.laboratory),
      ...fact("calibrated", calibration.date),
      ...fact("due", calibration.due),
      ...fact("U", figureText(calibration.uncertainty)),
      ...fact("k", calibration.k),
      ...fact("sensor", equationText(brought.sensor)),
      ...fact("range", rangeText(brought.range)),
      ...fact("check values", brought.checkValues.length === 0 ? null : brought.checkValues.length),
    ],
    coefficients: coefficientTexts(brought.sensor),
    tables: brought.tables.map(({ title, columns, rows }) => ({
      title,
      columns: [...columns],
      rows: rows.map((row) => [...row]),
    })),
  };
};
