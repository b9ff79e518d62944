import { failure, success, type Outcome } from "#fault";
import { prepare, signalOf, type Sensor } from "#thermometry";
import { combine, meanOfSeries, standardUncertaintyOfLimits } from "#uncertainty";
import type { ClosingCheckPlan } from "../job/closing-check.ts";
import type { Job } from "../job/job.ts";
import { figureAt } from "../job/table.ts";
import type { RunEventOf } from "../log/events.ts";
import type { Reference } from "../job/kit.ts";
import type { LogView, MadeCheck } from "../log/log-view.ts";
import type { ClosingCheck } from "../result/result.ts";
import { differenceInWords, inWords } from "./budget-line.ts";
import { isReadByReadout, readoutAccuracy } from "./readout-accuracy.ts";

type Thermometer = Extract<ClosingCheckPlan, { kind: "check-thermometer" }>;
type MadePlan = Exclude<ClosingCheckPlan, { kind: "first-point" }>;
type Measured = RunEventOf<"check-measured">;
interface CheckLine {
  readonly name: string;
  readonly u: number;
  readonly dof: number;
}

const limits = (name: string, halfWidth: number): CheckLine => ({
  name,
  u: standardUncertaintyOfLimits(halfWidth, "rectangular"),
  dof: Number.POSITIVE_INFINITY,
});

interface WindowMean {
  readonly temperature: number;
  readonly signal: number;
  readonly u: number;
  readonly dof: number;
  readonly origin: readonly number[];
}

/** Mean temperature of a channel within the window, with the uncertainty of its scatter. */
const windowMean = (view: LogView, channel: string, sensor: Sensor, window: Measured): Outcome<WindowMean> => {
  const readings = view.channels.get(channel);
  const prepared = prepare(sensor);
  if (!prepared.ok) return prepared;
  const temperatures: number[] = [];
  const signals: number[] = [];
  const origin = new Set<number>();
  for (let index = readings?.firstFrom(window.from - 1e-6) ?? 0; index < (readings?.length ?? 0); index += 1) {
    if (readings!.times[index]! > window.to + 1e-6) break;
    if (readings!.rejected[index] === 1) continue;
    const converted = prepared.value.temperature(readings!.values[index]!, { coldJunction: 0 });
    if (!converted.ok) return converted;
    temperatures.push(converted.value.temperature);
    signals.push(readings!.values[index]!);
    origin.add(readings!.eventOf(index));
  }
  const series = meanOfSeries(Float64Array.from(temperatures));
  if (!series.ok) return series;
  const signal = signals.reduce((sum, value) => sum + value, 0) / signals.length;
  const { mean, standardUncertainty, degreesOfFreedom } = series.value;
  return success({
    temperature: mean,
    signal,
    u: standardUncertainty,
    dof: degreesOfFreedom,
    origin: [...origin].sort((a, b) => a - b),
  });
};

/** How a reading on a channel was taken: accuracy of the readout and half a digit, in K. */
const readLines = ({ kit, ...job }: Job, mean: WindowMean): Outcome<CheckLine[]> => {
  const { channel, sensor, unit } = kit.reference;
  const at = signalOf(sensor, mean.temperature);
  if (!at.ok) return at;
  if (!isReadByReadout({ kit, ...job }, channel)) return success([]);
  const accuracy = readoutAccuracy(kit.readout, unit, mean.signal);
  if (!accuracy.ok) return accuracy;
  const perKelvin = Math.abs(at.value.slope);
  return success([
    limits(`readout on ${channel}`, accuracy.value.halfWidth / perKelvin),
    limits(`digit on ${channel}`, accuracy.value.resolution / 2 / perKelvin),
  ]);
};

interface Standard {
  readonly value: number;
  readonly lines: readonly CheckLine[];
  readonly origin: readonly number[];
}

const thermometerStandard = (view: LogView, job: Job, plan: Thermometer, measured: Measured): Outcome<Standard> => {
  const own: CheckLine = { name: "check thermometer", u: plan.uncertainty / plan.k, dof: Number.POSITIVE_INFINITY };
  const { source } = job.kit;
  const around = [
    limits("source, axial", figureAt(source.axial, plan.temperature)),
    limits("source, radial", figureAt(source.radial, plan.temperature)),
  ];
  if (plan.channel === undefined) {
    return measured.typed === undefined
      ? failure("input.invalid", "What the check thermometer showed was not typed in.")
      : success({ value: measured.typed, lines: [own, ...around], origin: [measured.n] });
  }
  const mean = windowMean(view, plan.channel, { kind: "indication" }, measured);
  if (!mean.ok) return mean;
  const scatter = { name: "check thermometer, scatter", u: mean.value.u, dof: mean.value.dof };
  return success({
    value: mean.value.temperature,
    lines: [own, ...around, scatter],
    origin: mean.value.origin,
  });
};

const statementOf = (plan: MadePlan, serial: string, difference: number, U: number): string => {
  const place =
    plan.kind === "ice-point"
      ? "in the ice point"
      : `beside the check thermometer ${plan.serial} (${plan.certificate})`;
  const found = `The reference ${serial} differed by ${differenceInWords(difference, U)} ${place} at the end of the run`;
  if (Math.abs(difference) > plan.limit)
    return `${found}, beyond the limit of ${inWords(plan.limit)} K: what was measured with it is suspect. Repeat the check; if it stays so, replace the reference and repeat the points.`;
  const weak = U > plan.limit ? " The check itself is less certain than the limit, so it proves little." : "";
  return `${found}, within the limit of ${inWords(plan.limit)} K.${weak}`;
};

const judged = (view: LogView, plan: MadePlan, { measured, settled }: MadeCheck): Outcome<ClosingCheck> => {
  const job = view.jobAt(measured.n);
  const { reference } = job.kit;
  const own = windowMean(view, reference.channel, reference.sensor, measured);
  if (!own.ok) return own;
  const read = readLines(job, own.value);
  if (!read.ok) return read;
  const standard: Outcome<Standard> =
    plan.kind === "ice-point"
      ? success({ value: 0, lines: [limits("ice point", plan.halfWidth)], origin: [0] })
      : thermometerStandard(view, job, plan, measured);
  if (!standard.ok) return standard;
  const combined = combine({
    lines: [
      ...standard.value.lines,
      ...read.value,
      { name: "scatter", u: own.value.u, dof: own.value.dof },
      limits("settling", settled?.evidence.remainder ?? 0),
    ],
    level: job.procedure.coverage,
  });
  if (!combined.ok) return combined;
  const difference = own.value.temperature - standard.value.value;
  const origin = [measured.n, ...own.value.origin, ...standard.value.origin].toSorted((a, b) => a - b);
  return success({
    kind: plan.kind,
    status: Math.abs(difference) <= plan.limit ? "holds" : "failed",
    reference: { id: reference.id, serial: reference.serial },
    temperature: { value: own.value.temperature, unit: "°C", origin: own.value.origin },
    standard: { value: standard.value.value, unit: "°C", origin: standard.value.origin },
    differences: [
      { item: null, difference: { value: difference, unit: "K", origin }, u: combined.value.u, U: combined.value.U },
    ],
    limit: plan.limit,
    statement: statementOf(plan, reference.serial, difference, combined.value.U),
    origin,
  });
};

const notDone = (view: LogView, plan: ClosingCheckPlan, statement: string, origin: readonly number[]): ClosingCheck => {
  const { id, serial } = view.jobAt(view.last.n).kit.reference;
  return {
    kind: plan.kind,
    status: "not-done",
    reference: { id, serial },
    temperature: null,
    standard: null,
    differences: [],
    limit: plan.limit,
    statement,
    origin,
  };
};

/** The last check that was made of a reference, evaluated; undefined where none was made of it. */
const checkMadeOf = (view: LogView, plan: MadePlan, reference: Reference): ClosingCheck | undefined => {
  const made = view.checks.findLast(({ measured }) => view.jobAt(measured.n).kit.reference === reference);
  if (made === undefined) return undefined;
  const check = judged(view, plan, made);
  if (check.ok) return check.value;
  const statement = `The closing check cannot be evaluated. ${check.fault.message}`;
  return notDone(view, plan, statement, [made.measured.n]);
};

const known = new WeakMap<LogView, Map<Reference, ClosingCheck | undefined>>();

/**
 * The closing check of one reference at the ice point or beside a second thermometer: what it read less what it should have
 * read, with the uncertainty of the check itself. The reference's own calibration takes no part in that uncertainty: it is
 * what is checked. Undefined where none was made of it, or the procedure plans another. Worked out once for a view.
 */
export const checkOfReference = (view: LogView, reference: Reference): ClosingCheck | undefined => {
  const plan = view.opened.job.procedure.closingCheck;
  if (plan === undefined || plan.kind === "first-point") return undefined;
  const seen = known.get(view) ?? new Map<Reference, ClosingCheck | undefined>();
  known.set(view, seen);
  if (!seen.has(reference)) seen.set(reference, checkMadeOf(view, plan, reference));
  return seen.get(reference);
};

/** The closing check of the run: of the reference that was in use last, or why there is none of it. */
export const closingCheckOf = (view: LogView): ClosingCheck | undefined => {
  const plan = view.opened.job.procedure.closingCheck;
  if (plan === undefined || plan.kind === "first-point") return undefined;
  const made = checkOfReference(view, view.jobAt(view.last.n).kit.reference);
  if (made !== undefined) return made;
  const skipped = view.skippedChecks.at(-1);
  return skipped === undefined
    ? notDone(view, plan, "The closing check was planned, but not made.", [view.last.n])
    : notDone(view, plan, `The closing check was left out: ${skipped.reason} (${skipped.by}).`, [skipped.n]);
};
