import { failure, success, type Outcome } from "#fault";
import { choleskyFactor, seededGenerator, type Generator } from "#numerics";
import { usualLevel, type Budget, type BudgetLine } from "./budget.ts";
import { checkedBudget } from "./checked-budget.ts";

export interface SimulationSettings {
  /** Number of trials, 1000 to 10⁷. */
  readonly trials: number;
  readonly seed: number;
}

export interface Simulated {
  readonly mean: number;
  /** Standard deviation of the trials. */
  readonly u: number;
  /** Probabilistically symmetric coverage interval (JCGM 101:2008, 7.7.2). */
  readonly interval: readonly [number, number];
  /** Shortest coverage interval (JCGM 101:2008, 7.7.4). */
  readonly shortest: readonly [number, number];
  readonly level: number;
  readonly trials: number;
  readonly seed: number;
}

/** Student's t by the polar method, for real degrees of freedom (R. W. Bailey, Math. Comp. 62 (1994) 779, from memory). */
const student = (generator: Generator, dof: number): number => {
  if (dof === Number.POSITIVE_INFINITY) return generator.normal();
  for (;;) {
    const a = 2 * generator.next() - 1;
    const b = 2 * generator.next() - 1;
    const w = a * a + b * b;
    if (w > 0 && w < 1) return a * Math.sqrt((dof * Math.expm1((-2 / dof) * Math.log(w))) / w);
  }
};

/** A draw about 0 in units of the standard uncertainty; Student's t in units of its scale (JCGM 101:2008, 6.4.9.4). */
const draw = (line: Required<BudgetLine>, generator: Generator): number => {
  switch (line.distribution) {
    case "normal":
      return generator.normal();
    case "rectangular":
      return Math.sqrt(3) * (2 * generator.next() - 1);
    case "triangular":
      return Math.sqrt(6) * (generator.next() + generator.next() - 1);
    case "u-shaped":
      return Math.SQRT2 * Math.sin(2 * Math.PI * generator.next());
    case "student":
      return student(generator, line.dof);
  }
};

/** The first trial's index of the shortest run of `inside` steps in sorted trials. */
const shortestStart = (sorted: Float64Array, inside: number): number => {
  let best = 0;
  for (let start = 1; start + inside < sorted.length; start += 1) {
    if (sorted[start + inside]! - sorted[start]! < sorted[best + inside]! - sorted[best]!) best = start;
  }
  return best;
};

const summary = (sorted: Float64Array, mean: number, level: number): Pick<Simulated, "u" | "interval" | "shortest"> => {
  const count = sorted.length;
  let square = 0;
  for (const value of sorted) square += (value - mean) ** 2;
  const inside = Math.min(Math.round(level * count), count - 1);
  const start = Math.floor((count - inside) / 2);
  const tight = shortestStart(sorted, inside);
  return {
    u: Math.sqrt(square / (count - 1)),
    interval: [sorted[start]!, sorted[start + inside]!],
    shortest: [sorted[tight]!, sorted[tight + inside]!],
  };
};

/**
 * Propagates the distributions of an additive budget by Monte Carlo (JCGM 101:2008, clause 7). Same budget, trials and
 * seed: the same digits. Each line has a stream of its own, so that adding one does not disturb the others. A line's `u`
 * is its standard deviation, except for `student`, where it is the scale s/√n with the line's degrees of freedom.
 * Correlated lines must be normal (6.4.8); whatever cannot be drawn is a failure `uncertainty.invalid`.
 */
export const simulate = (budget: Budget, { trials, seed }: SimulationSettings): Outcome<Simulated> => {
  const checked = checkedBudget(budget);
  if (!checked.ok) return checked;
  if (!Number.isInteger(trials) || trials < 1000 || trials > 10_000_000) {
    return failure("uncertainty.invalid", "The number of trials must be a whole number from 1000 to 10000000.", {
      trials,
    });
  }
  if (!Number.isFinite(seed)) return failure("uncertainty.invalid", "The seed must be a finite number.");
  const { lines, correlation } = checked.value;
  const tied = lines.map((_, row) => correlation?.[row]!.some((r, column) => column !== row && r !== 0) ?? false);
  const odd = lines.find((line, index) => tied[index] && line.distribution !== "normal");
  if (odd !== undefined) {
    return failure(
      "uncertainty.invalid",
      `"${odd.name}" is correlated and not normal; Monte Carlo draws correlated lines from normal distributions only.`,
      { name: odd.name },
    );
  }
  const root = seededGenerator(seed);
  const streams = lines.map((line, index) => root.fork(`${index} ${line.name}`));
  const factor = correlation === undefined ? undefined : choleskyFactor(correlation);
  const centre = lines.reduce((sum, line) => sum + line.sensitivity * line.value, 0);
  const spread = lines.map((line) => line.sensitivity * line.u);
  const draws = new Float64Array(lines.length);
  const results = new Float64Array(trials);
  let total = 0;
  for (let trial = 0; trial < trials; trial += 1) {
    let sum = 0;
    for (let row = 0; row < lines.length; row += 1) {
      draws[row] = draw(lines[row]!, streams[row]!);
      let value = draws[row]!;
      if (tied[row] && factor !== undefined) {
        value = 0;
        for (let column = 0; column <= row; column += 1) value += factor[row]![column]! * draws[column]!;
      }
      sum += spread[row]! * value;
    }
    results[trial] = sum;
    total += sum;
  }
  const mean = total / trials;
  const level = budget.level ?? usualLevel;
  const { u, interval, shortest } = summary(results.sort(), mean, level);
  if (!Number.isFinite(centre + mean) || !Number.isFinite(u))
    return failure("uncertainty.invalid", "The trials are too large for a number; check the units of the lines.");
  const shifted = ([low, high]: readonly [number, number]): readonly [number, number] => [centre + low, centre + high];
  return success({
    mean: centre + mean,
    u,
    interval: shifted(interval),
    shortest: shifted(shortest),
    level,
    trials,
    seed,
  });
};
