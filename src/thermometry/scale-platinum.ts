import { failure, success, type Outcome } from "#fault";
import { outside, type Interval } from "./conversion.ts";
import { Deviation } from "./deviation.ts";
import { highReference, lowReference, triplePointCelsius, type ReferenceFunction } from "./reference-ratio.ts";
import type { Relation } from "./relation.ts";
import type { DeviationCoefficients, ScalePlatinumSensor } from "./sensor.ts";
import { aluminiumPoint, subrangeOf, type Subrange } from "./subrange.ts";

/** One subrange's deviation on one side of the triple point of water, and the ratios at its ends. */
interface Part {
  readonly lower: number;
  readonly upper: number;
  readonly reference: ReferenceFunction;
  readonly deviation: Deviation;
  readonly ratioAtLower: number;
  readonly ratioAtUpper: number;
}

const optionalCoefficient = "W_Al";

/** What is wrong with the names or numbers of one entry, as a sentence; undefined when nothing is. */
const entryFault = (entry: DeviationCoefficients, subrange: Subrange): string | undefined => {
  const names = Object.keys(entry).filter((name) => name !== "subrange");
  const missing = subrange.coefficients.filter((name) => name !== optionalCoefficient && !names.includes(name));
  const unknown = names.filter((name) => !subrange.coefficients.includes(name));
  const wanted = `Subrange ${subrange.number} takes ${subrange.coefficients.join(", ")}`;
  if (missing.length > 0) return `${wanted}; ${missing.join(", ")} is missing. Copy it from the certificate.`;
  if (unknown.length > 0) return `${wanted}; it has no ${unknown.join(", ")}. Check the subrange and the names.`;
  const bad = names.find((name) => !Number.isFinite(entry[name]));
  return bad === undefined ? undefined : `Coefficient ${bad} of subrange ${subrange.number} is not a finite number.`;
};

const deviationOf = (entry: DeviationCoefficients, subrange: Subrange): Deviation => {
  const named = (name: string): number => entry[name] ?? 0;
  const terms = {
    a: named("a"),
    b: named("b"),
    c: named("c"),
    d: 0,
    aluminium: Number.POSITIVE_INFINITY,
    mixed: subrange.number === 4,
    logarithmic: subrange.coefficients.filter((name) => /^c\d$/.test(name)).map(named),
    logarithmPower: subrange.logarithmPower ?? 0,
  };
  if (named("d") === 0) return new Deviation(terms);
  const aluminium = entry[optionalCoefficient] ?? new Deviation(terms).ratioOf(highReference.ratio(aluminiumPoint));
  return new Deviation({ ...terms, d: named("d"), aluminium });
};

const samples = 48;

/** Platinum cannot have half or twice the reference function's slope; a slip in a coefficient can. */
const isPlatinum = (deviation: Deviation, reference: ReferenceFunction, range: Interval): boolean => {
  for (let index = 0; index <= samples; index += 1) {
    const temperature = range.lower + ((range.upper - range.lower) * index) / samples;
    const ratio = deviation.ratioOf(reference.ratio(temperature));
    const share = 1 - deviation.slope(ratio);
    if (!(ratio > 0 && share > 0.5 && share < 2)) return false;
  }
  return true;
};

/**
 * Which subrange holds where. Below 0.01 °C those for low temperatures (1 to 4) and 5; from 0.01 °C up those for high
 * ones (6 to 11) and 5. Where several of them hold a temperature, the narrowest does: it is interpolated over the
 * shortest distance between fixed points. A subrange from 0 °C reaches below 0.01 °C only where no other does.
 */
const partsOf = (
  entries: readonly { readonly subrange: Subrange; readonly deviation: Deviation }[],
): Omit<Part, "ratioAtLower" | "ratioAtUpper">[] => {
  const bounds = [
    ...new Set([triplePointCelsius, ...entries.flatMap(({ subrange }) => [subrange.lower, subrange.upper])]),
  ].sort((a, b) => a - b);
  const width = ({ subrange }: (typeof entries)[number]): number => subrange.upper - subrange.lower;
  const parts: Omit<Part, "ratioAtLower" | "ratioAtUpper">[] = [];
  for (const [index, upper] of bounds.entries()) {
    const lower = bounds[index - 1];
    if (lower === undefined) continue;
    const isLow = upper <= triplePointCelsius;
    const holding = entries.filter(({ subrange }) => subrange.lower <= lower && subrange.upper >= upper);
    const proper = holding.filter(({ subrange }) => !isLow || subrange.number <= 5);
    const [best] = (proper.length > 0 ? proper : holding).sort((a, b) => width(a) - width(b));
    if (best === undefined) continue;
    const reference = isLow && best.subrange.number <= 5 ? lowReference : highReference;
    const before = parts.at(-1);
    if (before !== undefined && before.deviation === best.deviation && before.reference === reference) {
      parts[parts.length - 1] = { ...before, upper };
    } else parts.push({ lower, upper, reference, deviation: best.deviation });
  }
  return parts;
};

/** Resistance in Ω against t90 in °C of a thermometer with its own deviation coefficients. */
class ScalePlatinum implements Relation {
  readonly name = "this platinum thermometer";
  readonly unit = "Ω" as const;
  readonly temperatures: Interval;
  readonly signals: Interval;
  readonly #parts: readonly Part[];
  readonly #triplePoint: number;

  constructor(parts: readonly Part[], triplePoint: number) {
    this.#parts = parts;
    this.#triplePoint = triplePoint;
    this.temperatures = { lower: parts[0]!.lower, upper: parts.at(-1)!.upper };
    this.signals = { lower: parts[0]!.ratioAtLower * triplePoint, upper: parts.at(-1)!.ratioAtUpper * triplePoint };
  }

  signalAt(temperature: number): number {
    const { deviation, reference } = this.#partAt(temperature);
    return this.#triplePoint * deviation.ratioOf(reference.ratio(temperature));
  }

  slopeAt(temperature: number): number {
    const { deviation, reference } = this.#partAt(temperature);
    const ratio = deviation.ratioOf(reference.ratio(temperature));
    return (this.#triplePoint * reference.slope(temperature)) / (1 - deviation.slope(ratio));
  }

  temperatureAt(signal: number): number {
    const ratio = signal / this.#triplePoint;
    const parts = this.#parts;
    let index = 0;
    while (index < parts.length - 1 && ratio > parts[index]!.ratioAtUpper) index += 1;
    const part = parts[index]!;
    // Ends first: a ratio within rounding of an end of the range belongs to that end, and one in a seam to the seam.
    if (ratio <= part.ratioAtLower) return index > 0 || ratio >= part.ratioAtLower * (1 - 1e-14) ? part.lower : outside;
    if (ratio >= part.ratioAtUpper) return ratio <= part.ratioAtUpper * (1 + 1e-14) ? part.upper : outside;
    const temperature = part.reference.temperature(ratio - part.deviation.value(ratio));
    return temperature < part.lower ? part.lower : Math.min(temperature, part.upper);
  }

  #partAt(temperature: number): Part {
    const parts = this.#parts;
    let index = 0;
    // A seam belongs to the part above it: the reference functions hand over at 0.01 °C itself.
    while (index < parts.length - 1 && temperature >= parts[index]!.upper) index += 1;
    return parts[index]!;
  }
}

const invalid = (message: string, data: Readonly<Record<string, unknown>>): Outcome<never> =>
  failure("thermometry.invalid", message, data);

/** The relation of an individually calibrated platinum thermometer, or what in its coefficients cannot be. */
export const scalePlatinum = (sensor: ScalePlatinumSensor): Outcome<Relation> => {
  const { rtpw, coefficients } = sensor;
  if (!(Number.isFinite(rtpw) && rtpw > 0)) {
    return invalid("The resistance at the triple point of water must be a positive number of ohms.", { rtpw });
  }
  if (coefficients.length === 0) {
    return invalid("Give the deviation coefficients of at least one ITS-90 subrange.", {});
  }
  const entries: { subrange: Subrange; deviation: Deviation }[] = [];
  for (const entry of coefficients) {
    const subrange = subrangeOf(entry.subrange);
    if (subrange === undefined)
      return invalid(`There is no ITS-90 subrange ${entry.subrange}: they run from 1 to 11.`, {
        subrange: entry.subrange,
      });
    if (entries.some((other) => other.subrange === subrange))
      return invalid(`Subrange ${subrange.number} is given twice. Keep the entry of the newer certificate.`, {
        subrange: subrange.number,
      });
    const fault = entryFault(entry, subrange);
    if (fault !== undefined) return invalid(fault, { subrange: subrange.number });
    entries.push({ subrange, deviation: deviationOf(entry, subrange) });
  }
  const parts: Part[] = [];
  for (const part of partsOf(entries)) {
    if (!isPlatinum(part.deviation, part.reference, part)) {
      return invalid(
        `From ${part.lower} °C to ${part.upper} °C these deviation coefficients do not describe platinum. Check signs, powers of ten and the subrange against the certificate.`,
        { lower: part.lower, upper: part.upper },
      );
    }
    const ratioAt = (temperature: number): number => part.deviation.ratioOf(part.reference.ratio(temperature));
    parts.push({ ...part, ratioAtLower: ratioAt(part.lower), ratioAtUpper: ratioAt(part.upper) });
  }
  return success(new ScalePlatinum(parts, rtpw));
};
