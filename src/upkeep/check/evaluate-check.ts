import { calendarDay, figureAt, type Reference } from "#calibration";
import { failure, success, type Outcome } from "#fault";
import { signalOf } from "#thermometry";
import type { ReferenceCheck } from "../document/reference-check.ts";
import { temperatures } from "../document/temperatures.ts";
import type { Evaluated, FoundFigure, ProposedRevision } from "../found.ts";
import { expanded, type Expanded } from "../levels/expanded.ts";
import { inWords, withU } from "../words.ts";
import { controlChart, type ChartValue, type ControlChart } from "./chart.ts";
import { rescaled, shiftOverRange, type ShiftAt } from "./shift-over-range.ts";
import { timedReading, type TimedReading } from "./timed-reading.ts";
import { allowanceOf, judgeCheck, type Allowance } from "./verdict.ts";

export interface ReferenceCheckResult extends Evaluated {
  readonly kind: "reference-check";
  readonly point: ReferenceCheck["point"];
  /** Temperature of the point, °C, and the resistance that the kit entry gives there, Ω. */
  readonly nominal: { readonly temperature: number; readonly resistance: number };
  readonly settled: TimedReading;
  /** Resistance found at the point, Ω. */
  readonly resistance: number | null;
  /** Found less the kit entry's, in ohms and in kelvin at the point. */
  readonly shift: (Expanded & { readonly ohms: number }) | null;
  readonly everywhere: readonly ShiftAt[];
  readonly chart: ControlChart | null;
  readonly allowance: Allowance | null;
}

type AtRest = Extract<TimedReading, { settled: true }>;

interface Baseline {
  readonly value: number;
  readonly u: number;
  readonly words: string;
}

const points = {
  "ice-point": { temperature: 0, halfWidth: 0.005, name: "ice point" },
  "water-triple-point": { temperature: 0.01, halfWidth: 0.0005, name: "triple point of water" },
} as const;

/** Mean length of a year, days. */
const daysInYear = 365.2425;

/** Largest doubt that settling may leave in a check, K, as a share of the drift allowance, and its floor. */
const targetOf = (halfWidth: number): number => Math.max(0.002, 2 * halfWidth);

/** ± limit of the readout at a resistance, as a difference of temperature, K; nought where it is the one of the calibration. */
const readoutLimit = ({ readout }: ReferenceCheck, resistance: number, slope: number): Outcome<number> => {
  if (readout === undefined) return success(0);
  const rows = readout.accuracy.filter(
    ({ unit, upTo }) => unit === "Ω" && resistance <= (upTo ?? Number.POSITIVE_INFINITY),
  );
  const row = rows.toSorted((a, b) => (a.upTo ?? Number.POSITIVE_INFINITY) - (b.upTo ?? Number.POSITIVE_INFINITY))[0];
  if (row === undefined)
    return failure("kit.out-of-range", `The readout ${readout.id} states no accuracy for ${inWords(resistance)} Ω.`);
  return success(((row.percentOfReading / 100) * resistance + row.absolute) / slope);
};

interface At {
  readonly temperature: number;
  readonly resistance: number;
  readonly slope: number;
  readonly halfWidth: number;
  readonly name: string;
}

const placeOf = (document: ReferenceCheck): Outcome<At> => {
  const { sensor } = document.reference;
  if (sensor.kind !== "platinum")
    return failure(
      "thermometry.unsupported",
      "A check in ice or at the triple point is evaluated for platinum resistance thermometers.",
    );
  const point = points[document.point];
  const nominal = signalOf(sensor, point.temperature);
  if (!nominal.ok) return nominal;
  const { signal: resistance, slope } = nominal.value;
  return success({ ...point, resistance, slope, halfWidth: document.halfWidth ?? point.halfWidth });
};

/** Earlier checks against the present kit entry, and this one as the last. */
const chartOf = (document: ReferenceCheck, at: At, latest: ChartValue): ControlChart => {
  const earlier = document.earlier
    .toSorted((a, b) => (a.at < b.at ? -1 : 1))
    .map((check) => ({ at: check.at, value: (check.resistance - at.resistance) / at.slope, u: check.u }));
  return controlChart([...earlier, latest]);
};

/**
 * The change since calibration, or since a new resistance was taken over: against the first check after it where there is one, because then the report's own uncertainty
 * cancels; otherwise against the kit entry's value, and the report's uncertainty counts (rule K19).
 */
const baselineOf = (document: ReferenceCheck, at: At): Baseline => {
  const { calibration, evidence } = document.reference;
  const taken = evidence?.sensorOn;
  const since = taken !== undefined && taken > calibration.date ? taken : calibration.date;
  const first = document.earlier
    .toSorted((a, b) => (a.at < b.at ? -1 : 1))
    .find((check) => check.at.slice(0, 10) >= since);
  if (first !== undefined)
    return {
      value: (first.resistance - at.resistance) / at.slope,
      u: first.u,
      words: `the first check after ${since === calibration.date ? "its calibration" : "its new resistance was taken over"}, ${first.at.slice(0, 10)}`,
    };
  const certified = figureAt(calibration.uncertainty, at.temperature) / calibration.k;
  return { value: 0, u: certified, words: `its certificate ${calibration.certificate}` };
};

const revisionOf = (document: ReferenceCheck, ohms: number, at: At): ProposedRevision | null => {
  const { reference } = document;
  const sensor = rescaled(reference.sensor, ohms / at.resistance);
  if (sensor === null || sensor.kind !== "platinum" || reference.sensor.kind !== "platinum") return null;
  const name = sensor.equation === "its-90" ? "rtpw" : "r0";
  const before = reference.sensor.equation === "its-90" ? reference.sensor.rtpw : reference.sensor.r0;
  const after = sensor.equation === "its-90" ? sensor.rtpw : sensor.r0;
  const made = `${at.name} of ${document.at.slice(0, 10)}, W held`;
  const entry: Reference = {
    ...withoutCheckValues(reference),
    sensor,
    revision: reference.revision + 1,
    evidence: { ...reference.evidence, sensor: made, sensorOn: document.at.slice(0, 10) },
  };
  return {
    kind: "reference",
    entry,
    changes: [{ field: `sensor.${name}`, before: `${before} Ω`, after: `${after} Ω`, reason: made }],
  };
};

/** The report's check values belong to its own coefficients; with another R(0) they would refuse every job. */
const withoutCheckValues = (reference: Reference): Reference => {
  const { checkValues: _report, ...calibration } = reference.calibration;
  return { ...reference, calibration };
};

const unsettled = (
  document: ReferenceCheck,
  at: At,
  settled: Extract<TimedReading, { settled: false }>,
): ReferenceCheckResult => ({
  ...headOf(document),
  verdict: "repeat",
  statement: `The readings had not come to rest in the ${at.name}: nothing is said of the reference. Leave it in for about ${Math.ceil(settled.wait / 60)} more minutes.`,
  figures: [],
  warnings: document.rehearsal ? ["Made on a simulated bench: no evidence about real equipment."] : [],
  revision: null,
  kind: "reference-check",
  point: document.point,
  nominal: { temperature: at.temperature, resistance: at.resistance },
  settled,
  resistance: null,
  shift: null,
  everywhere: [],
  chart: null,
  allowance: null,
});

const headOf = (document: ReferenceCheck): Pick<Evaluated, "entry" | "at" | "by" | "rehearsal"> => ({
  entry: { kind: "reference", id: document.reference.id, serial: document.reference.serial },
  at: document.at,
  by: document.by,
  rehearsal: document.rehearsal,
});

/**
 * Evaluates a timed check in an ice point or a triple point of water: when it was at rest, R there against the kit entry's, what that
 * means at every temperature, the control chart and the verdict (rules K17 to K24). The updated R(0) or R(TPW) is proposed as the
 * next revision; whether W held, a check at one temperature cannot tell.
 */
export const evaluateReferenceCheck = (document: ReferenceCheck): Outcome<ReferenceCheckResult> => {
  const at = placeOf(document);
  if (!at.ok) return at;
  const { temperature, resistance, slope, halfWidth } = at.value;
  const sensor = { sensor: document.reference.sensor, junction: 0, id: document.reference.id };
  const read = temperatures(sensor, document.readings.signal, `Check in the ${at.value.name}`);
  if (!read.ok) return read;
  const settled = timedReading(
    document.readings.time,
    read.value.map((value) => value - temperature),
    { target: targetOf(halfWidth), resolution: document.resolution / slope },
  );
  if (!settled.ok) return settled;
  if (!settled.value.settled) return success(unsettled(document, at.value, settled.value));
  const readout = readoutLimit(document, resistance, slope);
  if (!readout.ok) return readout;
  const root3 = Math.sqrt(3);
  const u = Math.hypot(settled.value.u, settled.value.remainder / root3, halfWidth / root3, readout.value / root3);
  const own = settled.value.u;
  const shift = expanded(
    settled.value.value,
    u,
    own === 0 ? Number.POSITIVE_INFINITY : settled.value.dof * (u / own) ** 4,
  );
  const rows = shiftOverRange(document.reference.sensor, document.reference.range, temperature, {
    ohms: shift.value * slope,
    u: u * slope,
  });
  if (!rows.ok) return rows;
  return judged(document, at.value, settled.value, shift, rows.value);
};

/** The change since calibration against what the budget holds for drift on the day. */
const allowanceFor = (document: ReferenceCheck, at: At, shift: Expanded, baseline: Baseline): Outcome<Allowance> => {
  const { sensor, range, calibration, driftPerYear } = document.reference;
  const years = Math.abs(calendarDay(document.at) - calendarDay(calibration.date)) / daysInYear;
  const changed = shiftOverRange(sensor, range, at.temperature, {
    ohms: (shift.value - baseline.value) * at.slope,
    u: Math.hypot(shift.u, baseline.u) * at.slope,
  });
  if (!changed.ok) return changed;
  const one = shiftOverRange(sensor, range, at.temperature, { ohms: at.slope, u: 0 });
  if (!one.ok) return one;
  const factor = Math.max(...one.value.map(({ ratioHeld }) => Math.abs(ratioHeld)));
  return success(allowanceOf(driftPerYear * years, changed.value, shift.k, { factor, baseline: baseline.value }));
};

const figureFor = (at: At, settled: AtRest, shift: Expanded): FoundFigure => ({
  figure: "shift",
  temperature: at.temperature,
  ...shift,
  limit: null,
  rationale: `Shift in the ${at.name}: found less kit entry, ${withU(shift.value, shift.U)}; ${settled.readings} readings at rest, the point itself ±${inWords(at.halfWidth)} K`,
  visits: [0],
});

const warningsFor = (document: ReferenceCheck, seen: boolean, chart: ControlChart): string[] => [
  ...(seen
    ? [
        "One temperature cannot tell whether the ratio W held: check a second point within the range before the new resistance is taken over.",
      ]
    : []),
  ...(chart.limits === null
    ? ["There are too few earlier checks for limits of the chart; the budget's allowance alone holds."]
    : []),
  ...(document.rehearsal ? ["Made on a simulated bench: no evidence about real equipment."] : []),
];

const judged = (
  document: ReferenceCheck,
  at: At,
  settled: AtRest,
  shift: Expanded,
  everywhere: readonly ShiftAt[],
): Outcome<ReferenceCheckResult> => {
  const chart = chartOf(document, at, { at: document.at, value: shift.value, u: shift.u });
  const baseline = baselineOf(document, at);
  const allowance = allowanceFor(document, at, shift, baseline);
  if (!allowance.ok) return allowance;
  const { verdict, because, warnings } = judgeCheck(chart, allowance.value);
  const ohms = shift.value * at.slope;
  const seen = Math.abs(shift.value) > shift.U;
  return success({
    ...headOf(document),
    verdict,
    statement: `${verdictWords[verdict]}: ${because}. The change counts from ${baseline.words}.`,
    figures: [figureFor(at, settled, shift)],
    warnings: [...warnings, ...warningsFor(document, seen, chart)],
    revision: seen ? revisionOf(document, ohms, at) : null,
    kind: "reference-check",
    point: document.point,
    nominal: { temperature: at.temperature, resistance: at.resistance },
    settled,
    resistance: at.resistance + ohms,
    shift: { ...shift, ohms },
    everywhere,
    chart,
    allowance: allowance.value,
  });
};

const verdictWords = {
  "go-on": "Go on",
  repeat: "Repeat the check",
  "out-of-service": "Take it out of service",
} as const;
