import { checkReference, coefficientsOf, figureAt, signalAt } from "#calibration";
import type { Brought, BroughtEntry } from "../brought.ts";
import type { MatchWay } from "./matching-entry.ts";

export type CheckState = "holds" | "caution" | "fails";

export interface EntryCheck {
  readonly what: "check-values" | "points" | "validity" | "range" | "uncertainty" | "identity" | "revision";
  readonly state: CheckState;
  /** One sentence for a person. */
  readonly words: string;
}

export interface CheckCircumstances {
  /** Calendar day, year-month-day. */
  readonly today: string;
  readonly known: BroughtEntry | null;
  readonly by: MatchWay | null;
}

type ReferenceEntry = Extract<BroughtEntry, { kind: "reference" }>["entry"];

const check = (what: EntryCheck["what"], state: CheckState, words: string): EntryCheck => ({ what, state, words });

const checkValues = (entry: ReferenceEntry): EntryCheck => {
  const outcome = checkReference({ ...entry, channel: "reference" });
  if (outcome === null)
    return coefficientsOf(entry.sensor).length === 0
      ? check(
          "check-values",
          "holds",
          "This sensor has no coefficients of its own, so there is nothing to copy wrongly.",
        )
      : check(
          "check-values",
          "caution",
          "No check values came along: compare every coefficient with the certificate on paper.",
        );
  return check("check-values", outcome.agrees ? "holds" : "fails", outcome.words);
};

const millikelvin = (kelvin: number): string => `${(kelvin * 1000).toPrecision(3)} mK`;

/** Points that came along against the coefficients: a digit that was copied wrongly shows, even where check values are missing. */
const points = (entry: ReferenceEntry, brought: Brought): EntryCheck | null => {
  if (coefficientsOf(entry.sensor).length === 0) return null;
  const off = brought.points.flatMap(({ temperature, measured, unit }) => {
    if (measured === null || unit !== entry.unit || unit === "°C") return [];
    const at = signalAt(entry.sensor, temperature);
    if (!at.ok) return [];
    return [{ temperature, kelvin: Math.abs((measured - at.value.signal) / at.value.slope) }];
  });
  if (off.length === 0) return null;
  const worst = off.reduce((most, point) => (point.kelvin > most.kelvin ? point : most));
  const U = figureAt(entry.calibration.uncertainty, worst.temperature);
  const where = `${millikelvin(worst.kelvin)} at ${worst.temperature} °C`;
  if (worst.kelvin <= U)
    return check(
      "points",
      "holds",
      `The coefficients give all ${off.length} measured points within their U; the largest difference is ${where}.`,
    );
  return check(
    "points",
    worst.kelvin > 10 * U && worst.kelvin > 0.1 ? "fails" : "caution",
    `The coefficients miss a measured point by ${where}, which is more than its U of ${millikelvin(U)}. Compare them with the certificate.`,
  );
};

const isDay = /^\d{4}-\d{2}-\d{2}$/;

const validity = ({ date, due }: { date: string; due: string }, today: string): EntryCheck => {
  if (!isDay.test(date) || !isDay.test(due))
    return check("validity", "fails", "The days of the calibration are no dates.");
  if (due <= date)
    return check("validity", "fails", `The calibration of ${date} would be due on ${due}, which is not after it.`);
  if (date > today) return check("validity", "fails", `The calibration is dated ${date}, which is still to come.`);
  if (due < today)
    return check(
      "validity",
      "caution",
      `The calibration was due on ${due}. It can be recorded, but a job on a later day will be refused with it.`,
    );
  return check("validity", "holds", `Calibrated on ${date}, due on ${due}.`);
};

/** Temperatures and coefficients that no thermometer of the trade has (common practice, no source). */
const widest = { minimum: -273.15, maximum: 3000 } as const;
const platinumAlpha = { minimum: 0.0036, maximum: 0.00395 } as const;
const boiling = 100;

const alphaOf = (entry: ReferenceEntry): number | null => {
  if (entry.sensor.kind !== "platinum") return null;
  const [zero, hundred] = [signalAt(entry.sensor, 0), signalAt(entry.sensor, boiling)];
  return zero.ok && hundred.ok ? (hundred.value.signal - zero.value.signal) / (boiling * zero.value.signal) : null;
};

const range = (entry: ReferenceEntry): EntryCheck => {
  const { minimum, maximum } = entry.range;
  if (minimum < widest.minimum || maximum > widest.maximum || minimum >= maximum)
    return check("range", "fails", `A range from ${minimum} °C to ${maximum} °C is none that a thermometer has.`);
  const steps = 20;
  const signals = Array.from({ length: steps + 1 }, (_, step) =>
    signalAt(entry.sensor, minimum + ((maximum - minimum) * step) / steps),
  );
  const refused = signals.find((signal) => !signal.ok);
  if (refused !== undefined && !refused.ok)
    return check("range", "fails", `The coefficients do not reach over the whole range: ${refused.fault.message}`);
  const slopes = signals.map((signal) => (signal.ok ? Math.sign(signal.value.slope) : 0));
  if (slopes.some((slope) => slope !== slopes[0] || slope === 0))
    return check("range", "fails", "With these coefficients the signal turns back within the range: they are wrong.");
  const alpha = alphaOf(entry);
  if (alpha !== null && (alpha < platinumAlpha.minimum || alpha > platinumAlpha.maximum))
    return check(
      "range",
      "caution",
      `The coefficients give ${alpha.toFixed(6)} for (R100 - R0)/(100·R0); platinum has about 0.00385 to 0.003927.`,
    );
  return check(
    "range",
    "holds",
    `The coefficients give a signal over the whole range, ${minimum} °C to ${maximum} °C.`,
  );
};

const uncertainty = (entry: ReferenceEntry): EntryCheck => {
  const { uncertainty: U, k } = entry.calibration;
  const values = typeof U === "number" ? [U] : U.map(({ value }) => value);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const span = least === most ? `${least} K` : `${least} K to ${most} K`;
  if (least <= 0 || most > 50) return check("uncertainty", "fails", `U = ${span} is no uncertainty of a reference.`);
  if (k < 1 || k > 5) return check("uncertainty", "fails", `A coverage factor of ${k} is none.`);
  return check("uncertainty", most > 5 ? "caution" : "holds", `U = ${span} with k = ${k}.`);
};

const byWords: Readonly<Record<MatchWay, string>> = {
  "data-sheet": "its data sheet",
  serial: "its serial number",
  name: "the name on its label",
};

const identity = (brought: Brought, entry: BroughtEntry, { known, by }: CheckCircumstances): EntryCheck => {
  const { serial } = brought.identity;
  if (known === null)
    return check(
      "identity",
      "caution",
      `No kit entry has the serial number ${entry.entry.serial}: this will be a new one.`,
    );
  const differs =
    brought.form !== "data-sheet" &&
    serial !== null &&
    serial.trim().toLowerCase() !== known.entry.serial.trim().toLowerCase();
  if (differs)
    return check(
      "identity",
      "fails",
      `What was brought is for serial number ${serial}; the entry ${known.entry.id} is ${known.entry.serial}. It is another probe.`,
    );
  if (entry.kind !== known.kind)
    return check("identity", "fails", `${known.entry.id} is a ${known.kind}, and this is for a ${entry.kind}.`);
  return by === null
    ? check("identity", "caution", `Taken for the entry ${known.entry.id} because you said so.`)
    : check(
        "identity",
        "holds",
        `Known by ${byWords[by]}: kit entry ${known.entry.id}, revision ${known.entry.revision}.`,
      );
};

const revision = (entry: BroughtEntry, known: BroughtEntry | null): EntryCheck | null => {
  if (known === null || !("calibration" in entry.entry) || !("calibration" in known.entry)) return null;
  const [now, was] = [entry.entry.calibration.date, known.entry.calibration.date];
  return now < was
    ? check(
        "revision",
        "caution",
        `This calibration is of ${now}; the entry has a newer one, of ${was}. Approving it goes back to the older one.`,
      )
    : null;
};

/** Every check of a proposed entry, in the order in which a person would ask. An entry of which one fails is not to be recorded. */
export const checkEntry = (
  brought: Brought,
  entry: BroughtEntry,
  circumstances: CheckCircumstances,
): readonly EntryCheck[] => {
  const own =
    entry.kind === "reference"
      ? [checkValues(entry.entry), points(entry.entry, brought), range(entry.entry), uncertainty(entry.entry)]
      : [];
  const dates = "calibration" in entry.entry ? validity(entry.entry.calibration, circumstances.today) : null;
  return [identity(brought, entry, circumstances), ...own, dates, revision(entry, circumstances.known)].filter(
    (found) => found !== null,
  );
};
