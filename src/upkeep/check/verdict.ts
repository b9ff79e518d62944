import { calendarDay } from "#calibration";
import type { Verdict } from "../found.ts";
import { inWords, withU } from "../words.ts";
import type { ControlChart } from "./chart.ts";
import type { ShiftAt } from "./shift-over-range.ts";

/** The change since the reference's calibration against what the budget allows for drift. */
export interface Allowance {
  /** ± limit of drift that the budget holds on the day, K. */
  readonly limit: number;
  /** Shifts at the point within which the change stays within that limit at every temperature, K. */
  readonly band: readonly [number, number];
  /** Temperature at which the change is largest, °C, and how large it is there with its U, K. */
  readonly worst: { readonly temperature: number; readonly change: number; readonly U: number };
  /** Part of the allowance that the change takes; null where the allowance is nought. */
  readonly consumed: number | null;
}

/** Part of the allowance from which it is said that it runs out (common practice, no source). */
const runsOutFrom = 2 / 3;

/** Checks within so many days are repeats of each other. */
const repeatWithin = 7;

/**
 * `rows`: the change carried to every temperature. `factor`: how much a change at the point grows to where it is worst.
 * `baseline`: the shift from which the change counts, K.
 */
export const allowanceOf = (
  limit: number,
  rows: readonly ShiftAt[],
  k: number,
  { factor, baseline }: { readonly factor: number; readonly baseline: number },
): Allowance => {
  const worst = rows.reduce((most, row) => (Math.abs(row.ratioHeld) > Math.abs(most.ratioHeld) ? row : most));
  const change = worst.ratioHeld;
  return {
    limit,
    band: [baseline - limit / factor, baseline + limit / factor],
    worst: { temperature: worst.temperature, change, U: k * worst.u },
    consumed: limit > 0 ? Math.abs(change) / limit : null,
  };
};

const days = (from: string, to: string): number => calendarDay(to) - calendarDay(from);
const stops = ["beyond-action", "moving-range"] as const;

/** The latest check stands out of the chart, and so did the one before it, made shortly before, on the same side. */
const confirmed = ({ points, limits }: ControlChart): boolean => {
  const [before, latest] = points.slice(-2);
  if (before === undefined || latest === undefined || limits === null) return false;
  const out = (point: typeof latest) => point.signals.includes("beyond-action");
  const sameSide = Math.sign(before.value - limits.centre) === Math.sign(latest.value - limits.centre);
  return out(before) && out(latest) && sameSide && days(before.at, latest.at) <= repeatWithin;
};

export interface Judged {
  readonly verdict: Extract<Verdict, "go-on" | "repeat" | "out-of-service">;
  readonly because: string;
  readonly warnings: readonly string[];
}

const byAllowance = ({ limit, worst }: Allowance): Judged | null => {
  const size = Math.abs(worst.change);
  const words = `the change is ${withU(worst.change, worst.U)} at ${inWords(worst.temperature)} °C, and the budget allows ±${inWords(limit)} K`;
  if (size - worst.U > limit)
    return { verdict: "out-of-service", because: `${words}: it no longer holds`, warnings: [] };
  if (size > limit) return { verdict: "repeat", because: `${words}: beyond it, though not beyond doubt`, warnings: [] };
  return null;
};

/**
 * Go on, repeat, or out of service (rules K22 and K23): out of service where the change is beyond the budget's drift allowance by more
 * than the check's own U, or where a check beyond the action limits was confirmed by a repeat; repeat where it stands beyond the
 * allowance within that U, or beyond an action limit for the first time.
 */
export const judgeCheck = (chart: ControlChart, allowance: Allowance): Judged => {
  const byBudget = byAllowance(allowance);
  if (byBudget?.verdict === "out-of-service") return byBudget;
  if (confirmed(chart))
    return {
      verdict: "out-of-service",
      because: "two checks in a row are beyond the action limits of the chart on the same side",
      warnings: [],
    };
  if (byBudget !== null) return byBudget;
  const signals = chart.points.at(-1)!.signals;
  const stop = signals.find((signal) => (stops as readonly string[]).includes(signal));
  if (stop !== undefined)
    return {
      verdict: "repeat",
      because:
        stop === "beyond-action"
          ? "the check is beyond the action limits of the chart"
          : "the step from the check before is beyond the limit of the moving range",
      warnings: [],
    };
  const warnings: string[] = signals.map((signal) => signalWords[signal]);
  if (allowance.consumed !== null && allowance.consumed > runsOutFrom)
    warnings.push(
      `The change takes ${Math.round(allowance.consumed * 100)} % of the drift that the budget allows: shorten the interval, or have it calibrated before it runs out.`,
    );
  if (Math.abs(allowance.worst.change) + allowance.worst.U > allowance.limit)
    warnings.push(
      "The check's own uncertainty reaches beyond the allowance: it supports the budget, and does not prove it.",
    );
  return { verdict: "go-on", because: "the change is within what the budget allows, and the chart is quiet", warnings };
};

export const signalWords: Readonly<Record<ControlChart["points"][number]["signals"][number], string>> = {
  "beyond-action": "Beyond the action limits (3 s).",
  "beyond-warning": "Beyond the warning limits (2 s): look closely at the next check.",
  "two-of-three-beyond-warning": "Two of three checks in a row are beyond the warning limit on one side.",
  "four-of-five-beyond-one-s": "Four of five checks in a row are more than one s to one side.",
  "eight-on-one-side": "Eight checks in a row lie on one side of the centre: the level has moved.",
  "six-in-a-row": "Six checks in a row rise or fall: a trend.",
  "moving-range": "The step from the check before is beyond the limit of the moving range.",
};
