import { failure, success, type Outcome } from "#fault";
import { prepare, type Sensor } from "#thermometry";
import { leadingPower, numberOf, printedDouble, type PrintedNumber } from "./printed-number.ts";
import { coefficientsOf, withCoefficients } from "./sensor-coefficients.ts";
import { possibleSlips, type PrintedCoefficient, type Slip } from "./slips.ts";

/** A value that the report itself gives so that its coefficients can be checked. */
export interface CheckValue {
  /** °C. */
  readonly temperature: number;
  /** Ω, mV, or what the sensor's signal is. */
  readonly signal: number;
  /** Places after the point as printed; from the numbers themselves where it is left out. */
  readonly digits?: number;
}

export interface CheckInput {
  readonly sensor: Sensor;
  readonly checkValues: readonly CheckValue[];
  /** Coefficients as printed, by name, where they were read as text: zeros at their end then count as digits. */
  readonly printed?: ReadonlyMap<string, PrintedNumber>;
}

export interface CheckedValue {
  readonly temperature: number;
  readonly signal: number;
  /** What the coefficients give there; null where they describe no thermometer at all. */
  readonly computed: number | null;
  /** Computed minus printed. */
  readonly difference: number | null;
  /** Half a unit in the last printed place. */
  readonly tolerance: number;
  readonly agrees: boolean;
}

/** `agree`; otherwise one place was found that explains everything, several places would, or no single slip does. */
export type CoefficientVerdict = "agree" | "found" | "several" | "unexplained";

export interface CoefficientCheck {
  readonly verdict: CoefficientVerdict;
  readonly checkValues: readonly CheckedValue[];
  /** Single slips that make all check values agree, the best first; empty when they agree already. */
  readonly slips: readonly Slip[];
  /** Whether the differences are no larger than the rounding of the printed coefficients can make them. */
  readonly withinRounding: boolean;
  /** One sentence for a person. */
  readonly message: string;
}

/** Rounding half a unit in the last place, plus what doubles lose in working it out. */
const slack = (signal: number): number => 1e-12 * Math.max(Math.abs(signal), 1);

interface Prepared {
  signal(temperature: number): number | null;
}

const preparedFor = (sensor: Sensor): Prepared => {
  const outcome = prepare(sensor);
  return {
    signal: (temperature) => {
      if (!outcome.ok) return null;
      const converted = outcome.value.signal(temperature);
      return converted.ok ? converted.value.signal : null;
    },
  };
};

interface Wanted {
  readonly temperature: number;
  readonly signal: number;
  readonly tolerance: number;
}

const placesOf = (value: number): number => Math.max(-printedDouble(value).last, 0);

const wantedValues = (values: readonly CheckValue[]): Outcome<readonly Wanted[]> => {
  if (values.length === 0)
    return failure(
      "input.invalid",
      "Give at least one check value: a temperature and the signal that the report states.",
    );
  // A number that has lost zeros at its end belongs to the same column as the others, with their places.
  const shown = Math.max(...values.map(({ signal }) => placesOf(signal)));
  const wanted: Wanted[] = [];
  for (const [index, { temperature, signal, digits = shown }] of values.entries()) {
    if (!Number.isFinite(temperature) || !Number.isFinite(signal))
      return failure("input.invalid", `Check value ${index + 1}: temperature and signal must be finite numbers.`);
    if (!Number.isInteger(digits) || digits < 0 || digits > 15)
      return failure("input.invalid", `Check value ${index + 1}: digits must be a whole number from 0 to 15.`);
    wanted.push({ temperature, signal, tolerance: 0.5 * 10 ** -digits });
  }
  return success(wanted);
};

const agreesWith = ({ signal, tolerance }: Wanted, computed: number | null): boolean =>
  computed !== null && Math.abs(computed - signal) <= tolerance + slack(signal);

const checked = (sensor: Sensor, wanted: readonly Wanted[]): CheckedValue[] => {
  const prepared = preparedFor(sensor);
  return wanted.map((value) => {
    const computed = prepared.signal(value.temperature);
    return {
      ...value,
      computed,
      difference: computed === null ? null : computed - value.signal,
      agrees: agreesWith(value, computed),
    };
  });
};

/** How far the corrected sensor is from the check values, the worst as a share of its tolerance; undefined if too far. */
const distance = (sensor: Sensor, wanted: readonly Wanted[]): number | undefined => {
  const prepared = preparedFor(sensor);
  let worst = 0;
  for (const value of wanted) {
    const computed = prepared.signal(value.temperature);
    if (computed === null || !agreesWith(value, computed)) return undefined;
    worst = Math.max(worst, Math.abs(computed - value.signal) / value.tolerance);
  }
  return worst;
};

/** Those that disagree most come first, because most wrong guesses already fail there. */
const hardestFirst = (wanted: readonly Wanted[], now: readonly CheckedValue[]): Wanted[] =>
  wanted
    .map((value, index) => ({ value, off: Math.abs(now[index]!.difference ?? 0) / value.tolerance }))
    .sort((a, b) => b.off - a.off)
    .map(({ value }) => value);

/**
 * A cheap look at a slip of one coefficient before it is worked out in full: does the change, by the slope of the signal
 * with that coefficient, come anywhere near what is missing? A quarter of the change is allowed for what is not linear.
 */
const outlook = (sensor: Sensor, coefficients: readonly PrintedCoefficient[], wanted: readonly Wanted[]) => {
  const isLinear = sensor.kind !== "thermistor";
  const now = preparedFor(sensor);
  const signals = wanted.map(({ temperature }) => now.signal(temperature));
  const slopes = new Map(
    coefficients.map(({ name, printed }) => {
      const value = numberOf(printed);
      const step = value === 0 ? 1e-15 : 1e-6 * Math.abs(value);
      const moved = preparedFor(withCoefficients(sensor, new Map([[name, value + step]])));
      return [
        name,
        wanted.map(({ temperature }, index) => {
          const [before, after] = [signals[index], moved.signal(temperature)];
          return before === null || before === undefined || after === null ? Number.NaN : (after - before) / step;
        }),
      ];
    }),
  );
  const values = new Map(coefficients.map(({ name, printed }) => [name, numberOf(printed)]));
  return ({ coefficient, corrected }: Slip): boolean => {
    if (corrected.size !== 1) return true;
    const change = corrected.get(coefficient)! - values.get(coefficient)!;
    return wanted.every(({ signal, tolerance }, index) => {
      const moved = slopes.get(coefficient)![index]! * change;
      const present = signals[index] ?? Number.NaN;
      // A thermistor's signal is linear in its coefficients over small steps only; a sensor without signal has no slope.
      if (!(Math.abs(moved) < (isLinear ? Number.POSITIVE_INFINITY : 0.02 * Math.abs(present)))) return true;
      return Math.abs(present + moved - signal) <= tolerance + 0.25 * Math.abs(moved) + slack(signal);
    });
  };
};

const explaining = (
  sensor: Sensor,
  coefficients: readonly PrintedCoefficient[],
  wanted: readonly Wanted[],
): readonly Slip[] => {
  const found: { slip: Slip; worst: number }[] = [];
  const mayExplain = outlook(sensor, coefficients, wanted);
  for (const slip of possibleSlips(coefficients)) {
    if (!mayExplain(slip)) continue;
    const worst = distance(withCoefficients(sensor, slip.corrected), wanted);
    if (worst !== undefined) found.push({ slip, worst });
  }
  return found.sort((a, b) => a.worst - b.worst).map(({ slip }) => slip);
};

/** A number with fewer digits than this is a round one (R0 = 100), not one that was rounded there. */
const leastRoundedDigits = 5;

/** Whether half a unit in the last place of every coefficient, all on the worse side, is more than each difference. */
const isRounding = (
  sensor: Sensor,
  coefficients: readonly PrintedCoefficient[],
  now: readonly CheckedValue[],
): boolean => {
  const longest = Math.max(...coefficients.map(({ printed }) => printed.digits.length));
  const moved = coefficients.map(({ name, printed }) => {
    const digits = printed.digits.length < leastRoundedDigits ? longest : printed.digits.length;
    const half = 0.5 * 10 ** (leadingPower(printed) - digits + 1);
    const value = coefficientsOf(sensor).find((entry) => entry.name === name)!.value;
    return preparedFor(withCoefficients(sensor, new Map([[name, value + half]])));
  });
  return now.every(({ temperature, computed, difference, tolerance }) => {
    if (computed === null || difference === null) return false;
    const allowance = moved.reduce((sum, prepared) => {
      const signal = prepared.signal(temperature);
      return signal === null ? sum : sum + Math.abs(signal - computed);
    }, 0);
    return Math.abs(difference) <= tolerance + allowance;
  });
};

const placeOf = ({ kind, coefficient, other, position, power }: Slip): string =>
  [kind, coefficient, other ?? "", position ?? "", power ?? ""].join(" ");

/** One slip in words, without a full stop. */
const slipWords = (slips: readonly Slip[]): string => {
  const [{ kind, coefficient, other, position, power, is }] = slips as [Slip, ...Slip[]];
  const shouldBe = slips.map((slip) => slip.shouldBe).join(" or ");
  const place =
    position === 0
      ? `${coefficient} has lost a digit in front of the first one, at 10^${power}`
      : `digit ${position} of ${coefficient} (at 10^${power})`;
  switch (kind) {
    case "digit":
      return position === 0 ? `${place}: it should be ${shouldBe}` : `${place} is ${is} and should be ${shouldBe}`;
    case "swapped-digits":
      return `digits ${position} and ${(position ?? 0) + 1} of ${coefficient} are ${is} and should be ${shouldBe}`;
    case "sign":
      return `${coefficient} has the wrong sign: it is ${is} and should be ${shouldBe}`;
    case "decimal-shift":
      return `${coefficient} has the wrong power of ten: it is ${is} and should be ${shouldBe}`;
    case "exchanged":
      return `${coefficient} and ${other} are exchanged`;
  }
};

const messageOf = (
  verdict: CoefficientVerdict,
  slips: readonly Slip[],
  withinRounding: boolean,
  off: readonly CheckedValue[],
  total: number,
): string => {
  if (verdict === "agree") return "The coefficients give all check values of the report.";
  const rounding = withinRounding
    ? " The differences are no larger than rounding the coefficients for print can make them, so it may be nothing worse."
    : "";
  const count = `${off.length} of ${total} check values ${off.length === 1 ? "is" : "are"} not met.`;
  if (verdict === "found")
    return `${count} One slip explains it: ${slipWords(slips)}. Compare with the report before you change it.${rounding}`;
  if (verdict === "several") {
    const places = [...new Set(slips.map(placeOf))].slice(0, 3);
    const words = places.map((place) => slipWords(slips.filter((slip) => placeOf(slip) === place)));
    return `${count} Several slips would explain it, so look at each: ${words.join("; ")}${new Set(slips.map(placeOf)).size > 3 ? "; and others" : ""}.${rounding}`;
  }
  return `${count} No single slip in the coefficients explains it: compare all of them, the check values and the equation with the report.${rounding}`;
};

/**
 * Works out a report's own check values from its coefficients, and where they are not met looks for the single slip of
 * copying that makes all of them agree: a wrong digit, two neighbouring digits swapped, a lost sign, a wrong power of ten,
 * two coefficients exchanged. It points only when all slips that fit are at one place; otherwise it says that there are
 * several, or none. A check value agrees within half a unit of its last printed place.
 *
 * Failure `input.invalid`: no check values, or a sensor without coefficients.
 */
export const checkCoefficients = ({ sensor, checkValues, printed }: CheckInput): Outcome<CoefficientCheck> => {
  const wanted = wantedValues(checkValues);
  if (!wanted.ok) return wanted;
  const coefficients = coefficientsOf(sensor).map(({ name, value }) => ({
    name,
    printed: printed?.get(name) ?? printedDouble(value),
  }));
  if (coefficients.length === 0)
    return failure("input.invalid", "This sensor has no coefficients of its own, so there is nothing to check.");
  const now = checked(sensor, wanted.value);
  const off = now.filter(({ agrees }) => !agrees);
  if (off.length === 0) {
    const message = messageOf("agree", [], true, off, now.length);
    return success({ verdict: "agree", checkValues: now, slips: [], withinRounding: true, message });
  }
  const slips = explaining(sensor, coefficients, hardestFirst(wanted.value, now));
  const places = new Set(slips.map(placeOf)).size;
  const verdict = places === 0 ? "unexplained" : places === 1 ? "found" : "several";
  const withinRounding = isRounding(sensor, coefficients, now);
  const message = messageOf(verdict, slips, withinRounding, off, now.length);
  return success({ verdict, checkValues: now, slips, withinRounding, message });
};
