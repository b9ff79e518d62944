import { failure, type FaultValue } from "#fault";
import { signalOf } from "#thermometry";
import type { Reference } from "../job/kit.ts";
import { checkCoefficients, type CoefficientCheck } from "./check-coefficients.ts";

/** How well a reference's coefficients give the check values of their own report. */
export interface ReferenceCheck {
  readonly agrees: boolean;
  readonly checkValues: CoefficientCheck["checkValues"];
  /** Largest difference without its sign: in the unit of the signal, and as a temperature in K. */
  readonly largest: { readonly signal: number; readonly kelvin: number; readonly temperature: number } | null;
  /** One sentence for a person. */
  readonly words: string;
  /** What refuses a job with this reference; null where nothing does. */
  readonly fault: FaultValue | null;
}

const largestOf = ({ sensor }: Reference, { checkValues }: CoefficientCheck): ReferenceCheck["largest"] => {
  let largest: NonNullable<ReferenceCheck["largest"]> | null = null;
  for (const { temperature, difference } of checkValues) {
    const at = signalOf(sensor, temperature);
    if (difference === null || !at.ok) return null;
    const signal = Math.abs(difference);
    if (largest === null || signal > largest.signal)
      largest = { signal, kelvin: Math.abs(signal / at.value.slope), temperature };
  }
  return largest;
};

/** Differences in a sentence: two significant digits, never with a power of ten. */
const small = (value: number): string =>
  value === 0 ? "0" : value.toFixed(Math.min(20, Math.max(0, 1 - Math.floor(Math.log10(value)))));

const faultOf = (reference: Reference, message: string): FaultValue =>
  failure(
    "kit.coefficients-differ",
    `The coefficients of the reference ${reference.id} do not give the check values of its report ${reference.calibration.certificate}. ${message}`,
    { id: reference.id, certificate: reference.calibration.certificate },
  ).fault;

/**
 * A reference's coefficients against the check values that its report brought (17025, 7.11.6 asks that transfers of data be
 * checked). Null where the kit entry holds none. What rounding the coefficients for print can explain, and no slip of copying does,
 * is let through and said; anything else refuses the job, with the slip pointed at where one explains it (rule C42).
 */
export const checkReference = (reference: Reference): ReferenceCheck | null => {
  const { checkValues, certificate } = reference.calibration;
  if (checkValues === undefined) return null;
  const outcome = checkCoefficients({
    sensor: reference.sensor,
    checkValues: checkValues.map(({ digits, ...value }) => (digits === undefined ? value : { ...value, digits })),
  });
  if (!outcome.ok) {
    const fault = faultOf(reference, outcome.fault.message);
    return { agrees: false, checkValues: [], largest: null, words: fault.message, fault };
  }
  const { verdict, withinRounding, message } = outcome.value;
  const largest = largestOf(reference, outcome.value);
  const of = `${checkValues.length} check value${checkValues.length === 1 ? "" : "s"} of ${certificate}`;
  const common = { checkValues: outcome.value.checkValues, largest };
  if (verdict === "agree" || (verdict === "unexplained" && withinRounding && largest !== null)) {
    const { signal, kelvin } = largest ?? { signal: 0, kelvin: 0 };
    const rounding =
      verdict === "agree" ? "" : ", which is as near as the rounding of its printed coefficients lets it come";
    const words = `Reproduces the ${of} within ${small(signal)} ${reference.unit} (${small(kelvin * 1000)} mK)${rounding}.`;
    return { agrees: true, ...common, words, fault: null };
  }
  const fault = faultOf(reference, message);
  return { agrees: false, ...common, words: fault.message, fault };
};
