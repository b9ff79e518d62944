import { failure, success, type Outcome } from "#fault";
import { signalOf } from "#thermometry";
import { combine, standardUncertaintyOfLimits } from "#uncertainty";
import { inWords, limitsLine, type PointLine } from "../evaluate/budget-line.ts";
import { contributionNames } from "../evaluate/item-lines.ts";
import { referenceLines } from "../evaluate/reference-lines.ts";
import { placeLines } from "../evaluate/source-lines.ts";
import type { CalendarDay } from "../evaluate/calendar-day.ts";
import type { Item } from "../job/item.ts";
import type { Job } from "../job/job.ts";
import type { SwitchItem } from "../job/switch-sweeps.ts";
import { figureAt } from "../job/table.ts";
import type { ResultBudget } from "../result/result.ts";
import type { SwitchLag } from "../result/switch-result.ts";
import type { ChangeAtRest, ChangesAtRest } from "./at-rest.ts";

export interface ChangeContext {
  readonly job: Job;
  readonly item: SwitchItem;
  readonly day: CalendarDay;
  readonly lag: SwitchLag;
}

const infinite = Number.POSITIVE_INFINITY;

/** Seconds between a contact's readings, and chatter, at the rate of the ramp (rule C61). */
const timeLine = ({ changes }: ChangeAtRest, name: string, id = "switch.time"): PointLine => {
  const widest = changes.reduce((most, each) => (each.halfWidth > most.halfWidth ? each : most));
  const line = limitsLine(
    {
      id,
      name,
      sensitivity: 1,
      source: `log: the reference moved by ±${inWords(widest.halfWidth)} K at most between the contact's readings before and after`,
      origin: changes.flatMap(({ origin }) => origin).toSorted((a, b) => a - b),
    },
    widest.halfWidth,
  );
  // Where it chattered, the change is likelier at the beginning or the end of it than in the middle.
  return widest.bounces === 0
    ? line
    : { ...line, distribution: "u-shaped", u: standardUncertaintyOfLimits(widest.halfWidth, "u-shaped") };
};

/** What the ramp may leave, at a rate in K/s (rules C62 and C63); none where two rates have shown it. */
const lagLine = (lag: SwitchLag, rate: number, item: SwitchItem): PointLine[] => {
  if (lag.known === "two-rates") return [];
  const halfWidth = rate * lag.u * Math.sqrt(3);
  const seconds = inWords(lag.u * Math.sqrt(3));
  const words =
    lag.known === "declared"
      ? `job: ${item.tag} trails the reference by ${inWords(lag.seconds)} s ± ${seconds} s (corrected)`
      : `lag of the switch behind the reference not known: ±${seconds} s assumed`;
  return [
    limitsLine(
      {
        id: "switch.lag",
        name: "Switch, what the ramp leaves",
        sensitivity: 1,
        source: `${words}, at ${inWords(rate * 60)} K/min`,
        origin: [0],
      },
      halfWidth,
    ),
  ];
};

/** Time constant of place and reference that is assumed beside the lag itself, s (common practice, no source). */
const usualReferenceLag = 30;

/** What a lag that is taken off had not reached yet when the contact changed, K: r·L·e^(−t/τ), the worst of the cycles. */
const notReached = (lag: SwitchLag, { changes }: ChangeAtRest): number => {
  if (lag.known === "bounded") return 0;
  const seconds = Math.abs(lag.seconds) + 2 * lag.u;
  const timeConstant = seconds + usualReferenceLag;
  return Math.max(...changes.map(({ rate, since }) => Math.abs(rate) * seconds * Math.exp(-since / timeConstant)));
};

/** The beginning of a ramp, where a lag that is taken off is still growing (rule C70). */
const beginningLine = (lag: SwitchLag, halfWidth: number): PointLine[] =>
  lag.known === "bounded"
    ? []
    : [
        limitsLine(
          {
            id: "switch.beginning",
            name: "Switch, ramp not yet steady",
            sensitivity: 1,
            source: `log: of the lag's effect at most ${inWords(halfWidth)} K had not come when the contact changed`,
            origin: [0],
          },
          halfWidth,
        ),
      ];

const scatterLine = ({ scatter, changes }: ChangeAtRest, id: string, name: string): PointLine => ({
  id,
  name,
  u: scatter?.u ?? 0,
  unit: "K",
  distribution: "student",
  dof: scatter?.dof ?? 1,
  sensitivity: 1,
  source: `log: ${scatter?.words ?? ""}`,
  origin: changes.flatMap(({ origin }) => origin).toSorted((a, b) => a - b),
});

/** What is declared for the switch itself; its dead band is measured, so hysteresis has no line (rule C24). */
const declaredLines = (item: SwitchItem, temperature: number): PointLine[] =>
  Object.entries(contributionNames).flatMap(([key, [id, name]]) => {
    const figure = item.contributions[key as keyof Item["contributions"]];
    if (figure === undefined || key === "hysteresis") return [];
    const halfWidth = figureAt(figure, temperature);
    const source = `job: ±${inWords(halfWidth)} K declared for the item`;
    return [limitsLine({ id, name, sensitivity: 1, source, origin: [0] }, halfWidth)];
  });

/** The model is t = t_ref at the change, so the lines of reference and source, made for an error, change their sign. */
const turned = (lines: readonly PointLine[]): PointLine[] =>
  lines.map((line) => ({ ...line, sensitivity: -line.sensitivity }));

const referencePart = (
  { job, day }: ChangeContext,
  temperature: number,
  change: ChangeAtRest,
): Outcome<PointLine[]> => {
  const at = signalOf(job.kit.reference.sensor, temperature);
  if (!at.ok) return at;
  const lines = referenceLines({
    job,
    day,
    reference: temperature,
    referenceSignal: at.value.signal,
    referenceSlope: at.value.slope,
    pairs: {
      referenceDigit: change.changes[0]!.referenceDigit,
      referenceOrigin: [...new Set(change.changes.flatMap(({ origin }) => origin))].sort((a, b) => a - b),
    },
  });
  return lines.ok ? success(turned([...lines.value, ...placeLines({ job, reference: temperature })])) : lines;
};

const combined = (lines: readonly PointLine[], coverage: number): Outcome<ResultBudget> => {
  const outcome = combine({
    lines: lines.map(({ id, u, dof, sensitivity, distribution }) => ({ name: id, u, dof, sensitivity, distribution })),
    level: coverage,
  });
  if (!outcome.ok) return outcome;
  const { u, dof, k, U, level } = outcome.value;
  const orNull = (value: number): number | null => (Number.isFinite(value) ? value : null);
  return success({
    lines: lines.map(({ dof: own, ...line }, index) => ({
      ...line,
      degreesOfFreedom: orNull(own),
      contribution: outcome.value.lines[index]!.contribution,
      share: outcome.value.lines[index]!.share,
    })),
    u,
    degreesOfFreedom: orNull(dof),
    k,
    U,
    coverage: level,
  });
};

/** Budget of the temperature at which a switch acts in one direction. */
export const changeBudget = (context: ChangeContext, change: ChangeAtRest): Outcome<ResultBudget> => {
  const { item, job, lag } = context;
  if (change.scatter === undefined) {
    return failure(
      "uncertainty.invalid",
      "Only one change was measured in this direction, so its scatter is not known and no uncertainty can be stated. Repeat the ramp.",
    );
  }
  const reference = referencePart(context, change.temperature, change);
  if (!reference.ok) return reference;
  return combined(
    [
      ...reference.value,
      timeLine(change, "Switch, time between readings at the ramp's rate"),
      ...lagLine(lag, change.rate, item),
      ...beginningLine(lag, notReached(lag, change)),
      scatterLine(change, "switch.repeatability", "Repeatability of the change"),
      ...declaredLines(item, change.temperature),
    ],
    job.procedure.coverage,
  );
};

/** Expanded uncertainty that a change at a temperature would have, without its scatter: to say how far a ramp went for certain. */
export const reachOf = (context: ChangeContext, temperature: number, rate: number): number => {
  const { lag, item, job } = context;
  const digit = { wire: undefined, values: 0 };
  const change: ChangeAtRest = {
    temperature,
    scatter: undefined,
    rate,
    changes: [
      { temperature, rate, halfWidth: 0, bounces: 0, since: Number.MAX_VALUE, referenceDigit: digit, origin: [0] },
    ],
  };
  const reference = referencePart(context, temperature, change);
  if (!reference.ok) return infinite;
  const budget = combined([...reference.value, ...lagLine(lag, rate, item)], job.procedure.coverage);
  return budget.ok ? budget.value.U : infinite;
};

/**
 * Budget of the dead band: what is common to both temperatures (calibration of reference and readout, place in the source)
 * cancels; what is each one's own adds up, and a lag counts on both, because the ramps go opposite ways (rule C66).
 */
export const deadBandBudget = (context: ChangeContext, at: ChangesAtRest): Outcome<ResultBudget> => {
  const { rising, falling, covariance } = at;
  const { item, job, lag } = context;
  if (rising?.scatter === undefined || falling?.scatter === undefined) {
    return failure("uncertainty.invalid", "The dead band needs two changes or more in each direction.");
  }
  const reference = referencePart(context, (rising.temperature + falling.temperature) / 2, rising);
  if (!reference.ok) return reference;
  const digit = reference.value.filter(({ id }) => id === "reference.resolution");
  const scatter: PointLine[] =
    lag.known === "two-rates"
      ? [
          {
            ...scatterLine(rising, "switch.repeatability", "Repeatability of the dead band"),
            u: Math.sqrt(Math.max(rising.scatter.u ** 2 + falling.scatter.u ** 2 - 2 * covariance, 0)),
          },
        ]
      : [
          scatterLine(rising, "switch.repeatability-rising", "Repeatability of the change, rising"),
          scatterLine(falling, "switch.repeatability-falling", "Repeatability of the change, falling"),
        ];
  return combined(
    [
      ...digit.map((line) => ({ ...line, name: `${line.name}, twice`, u: line.u * Math.SQRT2 })),
      timeLine(rising, "Switch, time between readings, rising", "switch.time-rising"),
      timeLine(falling, "Switch, time between readings, falling", "switch.time-falling"),
      ...lagLine(lag, rising.rate + falling.rate, item),
      ...beginningLine(lag, notReached(lag, rising) + notReached(lag, falling)),
      ...scatter,
    ],
    job.procedure.coverage,
  );
};
