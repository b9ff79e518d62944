import { coefficientsOf, type KitCalibration, type Reference } from "#calibration";
import type { Brought, BroughtEntry } from "../brought.ts";
import { asEntry } from "../label/label-code.ts";

/** What a person adds to what was brought; each only where it is missing or is to be said otherwise. */
export interface Answers {
  readonly id?: string;
  readonly description?: string;
  readonly serial?: string;
  readonly certificate?: string;
  readonly laboratory?: string;
  readonly date?: string;
  readonly due?: string;
  /** K. */
  readonly uncertainty?: number;
  readonly k?: number;
  readonly minimum?: number;
  readonly maximum?: number;
  /** K. */
  readonly driftPerYear?: number;
}

export interface MissingField {
  readonly field: keyof Answers | "sensor";
  readonly words: string;
}

export interface Candidate {
  /** The entry as it would be recorded; null while something is missing. */
  readonly entry: BroughtEntry | null;
  readonly missing: readonly MissingField[];
  readonly notes: readonly string[];
}

type ReferenceEntry = Omit<Reference, "channel">;
type Sensor = Reference["sensor"];

const words: Readonly<Record<MissingField["field"], string>> = {
  id: "a name for the entry: small letters, digits and hyphens",
  description: "what the probe is, in a few words",
  serial: "the serial number on the probe",
  certificate: "the number of its certificate",
  laboratory: "who calibrated it",
  date: "the day of the calibration",
  due: "the day until which the calibration is used",
  uncertainty: "the expanded uncertainty of the calibration, K",
  k: "the coverage factor of that uncertainty",
  minimum: "the lowest temperature for which it holds, °C",
  maximum: "the highest temperature for which it holds, °C",
  driftPerYear: "the limit of its drift in a year, K: a certificate does not say it, your records of the probe do",
  sensor: "coefficients: nothing that was brought has any that are understood",
};

/** Whether four-byte coefficients are those of the entry, as near as four bytes hold them. */
const agreesInFourBytes = (brought: Sensor, known: Sensor): boolean => {
  const [some, all] = [coefficientsOf(brought), coefficientsOf(known)];
  return (
    brought.kind === known.kind &&
    some.length === all.length &&
    some.length > 0 &&
    some.every(
      ({ name, value }, index) => all[index]!.name === name && Math.fround(all[index]!.value) === Math.fround(value),
    )
  );
};

const chosenSensor = (
  brought: Brought,
  known: ReferenceEntry | null,
): { sensor: Sensor | null; kept: boolean; note: string | null } => {
  const { sensor, form } = brought;
  if (sensor === null || (known !== null && sensor.kind === "indication" && known.sensor.kind !== "indication"))
    return { sensor: known?.sensor ?? sensor, kept: known !== null, note: null };
  if (known === null || form !== "data-sheet") return { sensor, kept: false, note: null };
  if (agreesInFourBytes(sensor, known.sensor))
    return {
      sensor: known.sensor,
      kept: true,
      note: "The data sheet holds coefficients to about seven digits. They agree with the entry's, which has all of them and is kept.",
    };
  const bare =
    sensor.kind === "thermocouple" && known.sensor.kind === "thermocouple" && sensor.type === known.sensor.type;
  return bare
    ? { sensor: known.sensor, kept: true, note: "The data sheet names the type only; the entry's deviation is kept." }
    : { sensor, kept: false, note: null };
};

type Calibration = ReferenceEntry["calibration"];

/** Certificate, dates and uncertainty: from the new calibration as far as it says them; the old one's only where it is the same. */
const calibrationOf = (brought: Brought, known: KitCalibration | null, answers: Answers) => {
  const said = brought.calibration;
  const isNew =
    known !== null &&
    ((said.certificate !== null && said.certificate !== known.certificate) ||
      (said.date !== null && said.date !== known.date));
  const old = isNew ? null : known;
  const laboratory =
    answers.laboratory ??
    (brought.form === "data-sheet" && old !== null ? old.laboratory : (said.laboratory ?? known?.laboratory));
  return {
    isNew,
    certificate: answers.certificate ?? said.certificate ?? old?.certificate,
    laboratory,
    date: answers.date ?? said.date ?? old?.date,
    due: answers.due ?? said.due ?? old?.due,
    uncertainty: answers.uncertainty ?? said.uncertainty ?? old?.uncertainty,
    k: answers.k ?? said.k ?? old?.k ?? (answers.uncertainty === undefined ? undefined : 2),
    accreditation: known !== null && laboratory === known.laboratory ? known.accreditation : undefined,
  };
};

const nameFrom = (serial: string | null): string | undefined => {
  const name = (serial ?? "")
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, "-")
    .replaceAll(/^-+|-+$/g, "");
  return /^[a-z0-9][a-z0-9-]{1,60}$/.test(name) ? name : undefined;
};

const without = (value: Record<string, unknown>): Record<string, unknown> =>
  Object.fromEntries(Object.entries(value).filter(([, part]) => part !== undefined));

const missingIn = (fields: Partial<Record<MissingField["field"], unknown>>): MissingField[] =>
  (Object.keys(fields) as MissingField["field"][])
    .filter((field) => fields[field] === undefined || fields[field] === null)
    .map((field) => ({ field, words: words[field] }));

const referenceFrom = (brought: Brought, known: ReferenceEntry | null, answers: Answers): Candidate => {
  const { identity } = brought;
  const { sensor, kept, note } = chosenSensor(brought, known);
  const { isNew, ...calibration } = calibrationOf(brought, known?.calibration ?? null, answers);
  const serial = answers.serial ?? known?.serial ?? identity.serial ?? undefined;
  const fields = {
    id: answers.id ?? known?.id ?? nameFrom(serial ?? null),
    description: answers.description ?? known?.description ?? identity.description ?? undefined,
    serial,
    ...calibration,
    minimum: answers.minimum ?? brought.range?.minimum ?? known?.range.minimum,
    maximum: answers.maximum ?? brought.range?.maximum ?? known?.range.maximum,
    driftPerYear: answers.driftPerYear ?? known?.driftPerYear,
    sensor,
  };
  const { accreditation, ...needed } = fields;
  const missing = missingIn(needed);
  const notes = note === null ? [] : [note];
  if (isNew && known?.calibration.coefficients !== undefined)
    notes.push("The covariance of the coefficients in the entry belongs to its earlier calibration and is left out.");
  if (missing.length > 0) return { entry: null, missing, notes };
  const { id, description, minimum, maximum, driftPerYear, certificate, laboratory, date, due, uncertainty, k } =
    needed;
  const { evidence, ...rest } = known ?? {};
  const entry = {
    ...rest,
    ...(evidence === undefined ? {} : { evidence: kept ? evidence : without({ ...evidence, sensor: undefined }) }),
    id,
    description,
    serial,
    ...without({
      model: known?.model ?? identity.model ?? undefined,
      dataSheet: identity.dataSheet ?? known?.dataSheet,
    }),
    sensor,
    unit: kept ? known!.unit : (brought.unit ?? known?.unit ?? "°C"),
    range: { minimum, maximum },
    driftPerYear,
    calibration: without({
      certificate,
      laboratory,
      accreditation,
      date,
      due,
      uncertainty,
      k,
      coefficients: isNew || !kept ? undefined : known!.calibration.coefficients,
      checkValues: checkValuesOf(brought, kept && !isNew ? (known?.calibration ?? null) : null),
    }),
  };
  return finished({ kind: "reference", entry: { ...entry, revision: known?.revision ?? 1 } }, notes);
};

const checkValuesOf = ({ checkValues }: Brought, known: Calibration | null) =>
  checkValues.length > 0 ? checkValues : known?.checkValues;

/** The schema's word is the last: what it refuses is said as it says it. */
const finished = (value: { kind: BroughtEntry["kind"]; entry: object }, notes: readonly string[]): Candidate => {
  const entry = asEntry(value);
  return entry === null
    ? {
        entry: null,
        missing: [],
        notes: [
          ...notes,
          "What was brought makes no kit entry: a figure is not one that an entry can have (dates, table of uncertainties, coefficients).",
        ],
      }
    : { entry, missing: [], notes };
};

const readoutFrom = (
  brought: Brought,
  known: Extract<BroughtEntry, { kind: "readout" }>["entry"],
  answers: Answers,
): Candidate => {
  const { isNew: _, uncertainty: _U, ...calibration } = calibrationOf(brought, known.calibration, answers);
  const { accreditation, ...needed } = calibration;
  const missing = missingIn({ ...needed, k: needed.k ?? 2 });
  const notes = [
    "Of a readout's certificate its number, laboratory and dates are taken; its accuracy stays as the entry says.",
  ];
  if (missing.length > 0) return { entry: null, missing, notes };
  const entry = { ...known, calibration: without({ ...needed, accreditation, k: needed.k ?? 2 }) };
  return finished({ kind: "readout", entry }, notes);
};

/**
 * The kit entry that comes of what was brought: on a known entry a revision that changes only what was said, otherwise a new
 * reference. What neither was brought nor is known nor was answered is `missing`: nothing is assumed in its place. A new
 * calibration takes no figure over from an older one.
 */
export const proposeEntry = (brought: Brought, known: BroughtEntry | null, answers: Answers = {}): Candidate => {
  if (brought.entry !== null && Object.keys(answers).length === 0)
    return { entry: brought.entry, missing: [], notes: [] };
  if (known?.kind === "readout") return readoutFrom(brought, known.entry, answers);
  if (known?.kind === "source")
    return {
      entry: null,
      missing: [],
      notes: [
        "A source has no coefficients: its figures come from characterising it. Revise it by that, or print its label anew.",
      ],
    };
  return referenceFrom(brought, known?.entry ?? null, answers);
};
