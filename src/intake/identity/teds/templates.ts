import type { FieldType } from "./field-types.ts";

export interface TemplateField {
  readonly name: string;
  readonly label: string;
  readonly unit?: string;
  readonly type: FieldType;
  /** Read only where the field named so has this word. */
  readonly where?: { readonly field: string; readonly is: string };
}

export interface Template {
  readonly id: number;
  readonly name: string;
  readonly fields: readonly TemplateField[];
  /** Fields that come again as often as the field named `count` says. */
  readonly repeated?: { readonly count: string; readonly fields: readonly TemplateField[] };
}

/**
 * Where the figures of this file come from. The standard itself was not at hand: whoever has it should compare, and raise
 * the confidence of what agrees. Until then each reading says so.
 */
export const tedsPassport = {
  standard: "IEEE 1451.4-2004",
  basic: {
    what: "basic TEDS: 14, 15, 5, 6 and 24 bits; numbers of the templates 25 to 39, of the calibration templates 40 to 42",
    source: "public tutorials on IEEE 1451.4 that agree with one another",
    confidence: "confirmed by a second source",
  },
  layouts: {
    what: "fields and scales of the templates 36, 37 and 40; selectors; check sums of the memory's pages",
    source: "from memory",
    confidence: "not compared with the standard",
  },
} as const;

/** Numbers and names of the standard's templates. */
export const templateNames: Readonly<Record<number, string>> = {
  25: "accelerometer and force",
  26: "charge amplifier with accelerometer",
  27: "microphone with preamplifier",
  28: "microphone preamplifier with microphone",
  29: "capacitive microphone",
  30: "high-level voltage output",
  31: "current loop output",
  32: "resistance sensor",
  33: "bridge sensor",
  34: "linear or rotary differential transformer",
  35: "strain gauge",
  36: "thermocouple",
  37: "resistance temperature detector",
  38: "thermistor",
  39: "potentiometric divider",
  40: "calibration table",
  41: "calibration curve",
  42: "frequency response table",
};

const celsius = (bits: number, start: number): FieldType => ({ kind: "even", bits, start, step: 1 });

const calibrated: readonly TemplateField[] = [
  { name: "calibrated", label: "Calibrated on", type: { kind: "date" } },
  { name: "initials", label: "Calibrated by", type: { kind: "letters", count: 3 } },
  { name: "period", label: "Calibration period", unit: "d", type: { kind: "unsigned", bits: 12 } },
];

const measurementPoint: TemplateField = {
  name: "location",
  label: "Measuring point",
  type: { kind: "unsigned", bits: 11 },
};

const thermocouple: Template = {
  id: 36,
  name: templateNames[36]!,
  fields: [
    { name: "minimum", label: "Lowest temperature", unit: "°C", type: celsius(11, -273) },
    { name: "maximum", label: "Highest temperature", unit: "°C", type: celsius(11, -273) },
    {
      name: "lowest",
      label: "Lowest voltage",
      unit: "V",
      type: { kind: "even", bits: 7, start: -0.025, step: 0.001 },
    },
    {
      name: "highest",
      label: "Highest voltage",
      unit: "V",
      type: { kind: "even", bits: 7, start: -0.025, step: 0.001 },
    },
    {
      name: "type",
      label: "Type",
      type: {
        kind: "choice",
        bits: 4,
        words: ["B", "E", "J", "K", "N", "R", "S", "T", "another"],
      },
    },
    {
      name: "junction",
      label: "Reference junction",
      type: { kind: "choice", bits: 1, words: ["to be compensated", "compensated in the probe"] },
    },
    {
      name: "resistance",
      label: "Resistance",
      unit: "Ω",
      type: { kind: "relative", bits: 12, start: 1, tolerance: 0.00155 },
    },
    {
      name: "response",
      label: "Response time",
      unit: "s",
      type: { kind: "relative", bits: 6, start: 1e-6, tolerance: 0.15 },
    },
    ...calibrated,
    measurementPoint,
  ],
};

const curves = ["coefficients", "alpha 0.00385", "alpha 0.003911", "alpha 0.003916", "alpha 0.00392"] as const;

const resistance: Template = {
  id: 37,
  name: templateNames[37]!,
  fields: [
    { name: "minimum", label: "Lowest temperature", unit: "°C", type: celsius(11, -273) },
    { name: "maximum", label: "Highest temperature", unit: "°C", type: celsius(11, -273) },
    { name: "curve", label: "Curve", type: { kind: "choice", bits: 3, words: curves } },
    { name: "r0", label: "R0", unit: "Ω", type: { kind: "single" } },
    { name: "a", label: "A", unit: "1/°C", type: { kind: "single" }, where: { field: "curve", is: curves[0] } },
    { name: "b", label: "B", unit: "1/°C²", type: { kind: "single" }, where: { field: "curve", is: curves[0] } },
    { name: "c", label: "C", unit: "1/°C⁴", type: { kind: "single" }, where: { field: "curve", is: curves[0] } },
    {
      name: "current",
      label: "Greatest measuring current",
      unit: "A",
      type: { kind: "relative", bits: 8, start: 1e-6, tolerance: 0.025 },
    },
    {
      name: "response",
      label: "Response time",
      unit: "s",
      type: { kind: "relative", bits: 6, start: 1e-6, tolerance: 0.15 },
    },
    ...calibrated,
    measurementPoint,
  ],
};

const table: Template = {
  id: 40,
  name: templateNames[40]!,
  fields: [
    { name: "domain", label: "Over", type: { kind: "choice", bits: 1, words: ["electrical value", "temperature"] } },
    { name: "points", label: "Points", type: { kind: "unsigned", bits: 7 } },
    ...calibrated,
  ],
  repeated: {
    count: "points",
    fields: [
      {
        name: "at",
        label: "At",
        unit: "% of the span",
        // The largest count stands for 100 %; all bits set for nothing.
        type: { kind: "even", bits: 16, start: 0, step: 100 / 65_534 },
      },
      {
        name: "deviation",
        label: "Deviation",
        unit: "% of the span",
        type: { kind: "even", bits: 21, start: -100, step: 0.0001 },
      },
    ],
  },
};

/** The templates whose fields are read: thermocouple, resistance temperature detector, calibration table. */
export const knownTemplates: ReadonlyMap<number, Template> = new Map(
  [thermocouple, resistance, table].map((template) => [template.id, template]),
);
