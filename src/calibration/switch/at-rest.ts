import { leastSquares } from "#numerics";
import type { Ramp } from "../job/ramp.ts";
import type { SwitchItem } from "../job/switch-sweeps.ts";
import type { SwitchLag } from "../result/switch-result.ts";
import type { SeenChange } from "./sweep-result.ts";

export type SweepDirection = "rising" | "falling";

/** Temperature of a switch's changes in one direction, brought to a rate of nought; °C and K. */
export interface ChangeAtRest {
  readonly temperature: number;
  /** Standard uncertainty of the mean from the scatter of the cycles, K; undefined where one cycle alone shows none. */
  readonly scatter: { readonly u: number; readonly dof: number; readonly words: string } | undefined;
  /** Mean rate without its sign, K/s. */
  readonly rate: number;
  readonly changes: readonly SeenChange[];
}

export interface ChangesAtRest {
  readonly rising: ChangeAtRest | undefined;
  readonly falling: ChangeAtRest | undefined;
  readonly lag: SwitchLag;
  /** Covariance of the two temperatures from the scatter, K²: 0 but for a common fit. */
  readonly covariance: number;
}

type Seen = Readonly<Record<SweepDirection, readonly SeenChange[]>>;

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

const meanRate = (changes: readonly SeenChange[]): number => Math.abs(mean(changes.map(({ rate }) => rate)));

/** Means of the changes with a known (or no) lag taken off; their scatter by Student (GUM, 4.2.3). */
const averaged = (changes: readonly SeenChange[], lag: number): ChangeAtRest | undefined => {
  if (changes.length === 0) return undefined;
  const corrected = changes.map(({ temperature, rate }) => temperature - rate * lag);
  const temperature = mean(corrected);
  const count = corrected.length;
  const deviation = Math.sqrt(corrected.reduce((sum, value) => sum + (value - temperature) ** 2, 0) / (count - 1));
  const words = `${count} cycles, standard deviation ${Number(deviation.toPrecision(3))} K`;
  return {
    temperature,
    scatter: count < 2 ? undefined : { u: deviation / Math.sqrt(count), dof: count - 1, words },
    rate: meanRate(changes),
    changes,
  };
};

/** Whether the rates of the changes differ enough to tell what the ramp does: the slowest at most 0.85 of the fastest. */
const ratesDiffer = (changes: readonly SeenChange[]): boolean => {
  const rates = changes.map(({ rate }) => Math.abs(rate));
  return Math.min(...rates) <= 0.85 * Math.max(...rates);
};

/**
 * Temperatures at a rate of nought and the lag, by least squares of T = T₀ + r·L over all changes, r with its sign: one T₀
 * for each direction, one L. Undefined where the changes do not determine it with two degrees of freedom to spare.
 */
const fitted = ({ rising, falling }: Seen): ChangesAtRest | undefined => {
  const all = [...rising, ...falling];
  const columns = [rising, falling].filter((changes) => changes.length > 0);
  if (columns.length === 0 || all.length < columns.length + 3 || !ratesDiffer(all)) return undefined;
  const design = columns.flatMap((changes, own) =>
    changes.map(({ rate }) => [...columns.map((_, column) => (column === own ? 1 : 0)), rate * 60]),
  );
  const fit = leastSquares({ design, observations: columns.flat().map(({ temperature }) => temperature) });
  if (!fit.ok) return undefined;
  const words = `fit of ${all.length} changes at two rates, standard deviation ${Number(fit.residualStandardDeviation.toPrecision(3))} K`;
  const at = (changes: readonly SeenChange[]): ChangeAtRest | undefined => {
    const column = columns.indexOf(changes);
    return column === -1
      ? undefined
      : {
          temperature: fit.coefficients[column]!,
          scatter: { u: fit.standardErrors[column]!, dof: fit.degreesOfFreedom, words },
          rate: meanRate(changes),
          changes,
        };
  };
  const last = columns.length;
  return {
    rising: at(rising),
    falling: at(falling),
    lag: { known: "two-rates", seconds: fit.coefficients[last]! * 60, u: fit.standardErrors[last]! * 60 },
    covariance: columns.length === 2 ? fit.covariance[0]![1]! : 0,
  };
};

/**
 * The temperatures of a switch's changes brought to rest (rules C62 to C64): a declared lag is taken off; two rates show it;
 * where neither is there, nothing is taken off and ±lagWithin stands for it.
 */
export const changesAtRest = (seen: Seen, item: SwitchItem, ramp: Ramp): ChangesAtRest => {
  const declared = item.sensor.lag;
  const common = declared === undefined ? fitted(seen) : undefined;
  if (common !== undefined) return common;
  const lag: SwitchLag =
    declared === undefined
      ? { known: "bounded", seconds: 0, u: ramp.lagWithin / Math.sqrt(3) }
      : { known: "declared", seconds: declared.seconds, u: declared.halfWidth / Math.sqrt(3) };
  return {
    rising: averaged(seen.rising, lag.seconds),
    falling: averaged(seen.falling, lag.seconds),
    lag,
    covariance: 0,
  };
};
