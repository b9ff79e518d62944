import type { Reference } from "#calibration";
import type { Brought, BroughtTable } from "../brought.ts";
import type { FieldValue } from "./field-types.ts";
import type { BasicTeds, Teds, TedsSection } from "./teds.ts";
import { knownTemplates, tedsPassport, type TemplateField } from "./templates.ts";

type Values = TedsSection["values"];

const numberOf = (values: Values, name: string): number | null => {
  const value = values[name];
  return typeof value === "number" ? value : null;
};
const wordOf = (values: Values, name: string): string | null => {
  const value = values[name];
  return typeof value === "string" && value !== "" ? value : null;
};

const dayLength = 86_400_000;

const dueDay = (date: string | null, period: number | null): string | null =>
  date === null || period === null || period === 0
    ? null
    : new Date(Date.parse(`${date}T00:00:00Z`) + period * dayLength).toISOString().slice(0, 10);

/** Curves that IEC 60751 and its like give in words only: alpha is not enough for coefficients, but the standard one is known. */
const standardCurve = { r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 } as const;

interface Meant {
  readonly sensor: Reference["sensor"] | null;
  readonly unit: Brought["unit"];
  readonly notes: readonly string[];
}

const resistanceSensor = (values: Values): Meant => {
  const [r0, a, b, c] = ["r0", "a", "b", "c"].map((name) => numberOf(values, name));
  const platinum = { kind: "platinum", equation: "callendar-van-dusen" } as const;
  if (r0 !== null && r0 !== undefined && r0 > 0 && wordOf(values, "curve") === "alpha 0.00385")
    return {
      sensor: { ...platinum, ...standardCurve, r0 },
      unit: "Ω",
      notes: [
        "The data sheet names the curve of IEC 60751 and no coefficients of its own: R0 is the probe's, A, B and C are the standard's.",
      ],
    };
  if (r0 === null || a === null || b === null || r0 === undefined || a === undefined || b === undefined || r0 <= 0)
    return {
      sensor: null,
      unit: "Ω",
      notes: [
        `The data sheet gives no coefficients (curve: ${wordOf(values, "curve") ?? "not known"}), so none are taken over.`,
      ],
    };
  return { sensor: { ...platinum, r0, a, b, c: c ?? 0 }, unit: "Ω", notes: [] };
};

const thermocoupleSensor = (values: Values): Meant => {
  const type = wordOf(values, "type");
  return type === null || type === "another"
    ? { sensor: null, unit: "mV", notes: ["The data sheet names no type of thermocouple that is known here."] }
    : { sensor: { kind: "thermocouple", type } as Reference["sensor"], unit: "mV", notes: [] };
};

const sensorOf = ({ sections }: Teds): Meant => {
  const resistance = sections.find(({ template }) => template === 37);
  const thermocouple = sections.find(({ template }) => template === 36);
  if (resistance !== undefined) return resistanceSensor(resistance.values);
  if (thermocouple !== undefined) return thermocoupleSensor(thermocouple.values);
  return { sensor: null, unit: null, notes: [] };
};

/** The identity of a data sheet in one word, as a kit entry keeps it: maker-model-version-serial. */
export const dataSheetWord = ({ manufacturer, model, versionLetter, version, serial }: BasicTeds): string =>
  [manufacturer, model, `${versionLetter}${version}`, serial].join("-");

const cellText = (value: FieldValue | undefined): string =>
  value === null || value === undefined ? "–" : String(value);

const fieldRows = (fields: readonly TemplateField[], values: Values): readonly (readonly string[])[] =>
  fields
    .filter(({ name }) => name in values)
    .map(({ name, label, unit }) => [
      label,
      `${cellText(values[name])}${unit === undefined || values[name] === null ? "" : ` ${unit}`}`,
    ]);

const tablesOf = ({ template: id, values, rows }: TedsSection): readonly BroughtTable[] => {
  const template = knownTemplates.get(id)!;
  const own: BroughtTable = {
    title: `Template ${id}: ${template.name}`,
    columns: [
      { label: "Property", unit: "" },
      { label: "Value", unit: "" },
    ],
    rows: fieldRows(template.fields, values),
  };
  if (template.repeated === undefined || rows === undefined) return [own];
  return [
    own,
    {
      title: template.name,
      columns: template.repeated.fields.map(({ label, unit = "" }) => ({ label, unit })),
      rows: rows.map((row) => template.repeated!.fields.map(({ name }) => cellText(row[name]))),
    },
  ];
};

const newest = (sections: readonly TedsSection[]): Values =>
  sections
    .toSorted((one, other) =>
      (wordOf(one.values, "calibrated") ?? "").localeCompare(wordOf(other.values, "calibrated") ?? ""),
    )
    .at(-1)?.values ?? {};

const notesOf = (teds: Teds): readonly string[] => [
  ...(teds.sections.length === 0
    ? []
    : [
        `The layout of the templates is known ${tedsPassport.layouts.source} here (${tedsPassport.standard}): compare every value with the probe's certificate before you approve.`,
      ]),
  ...(teds.stopped === null ? [] : [`Only a part was read: ${teds.stopped}.`]),
  ...(teds.sections.some(({ template }) => template === 40)
    ? ["The calibration table is shown; its deviations are not turned into coefficients."]
    : []),
];

/** A data sheet in the common form. It has no certificate number and no uncertainty; those a person adds. */
export const fromTeds = (teds: Teds): Brought => {
  const { basic, sections, text } = teds;
  const main = sections.find(({ template }) => template === 36 || template === 37)?.values ?? {};
  const { sensor, unit, notes } = sensorOf(teds);
  const calibrated = newest(sections);
  const date = wordOf(calibrated, "calibrated");
  const [minimum, maximum] = [numberOf(main, "minimum"), numberOf(main, "maximum")];
  return {
    form: "data-sheet",
    source: `Transducer electronic data sheet (${tedsPassport.standard})`,
    identity: {
      serial: String(basic.serial),
      manufacturer: `maker ${basic.manufacturer}`,
      model: `${basic.model}${basic.versionLetter === "" && basic.version === 0 ? "" : ` version ${basic.versionLetter}${basic.version}`}`,
      description: text === "" ? null : text,
      dataSheet: dataSheetWord(basic),
      further: [],
    },
    calibration: {
      certificate: null,
      laboratory: wordOf(calibrated, "initials"),
      date,
      due: dueDay(date, numberOf(calibrated, "period")),
      uncertainty: null,
      k: null,
    },
    sensor,
    unit,
    range: minimum !== null && maximum !== null && minimum < maximum ? { minimum, maximum } : null,
    checkValues: [],
    points: [],
    tables: sections.flatMap(tablesOf),
    entry: null,
    notes: [...notes, ...notesOf(teds)],
  };
};
