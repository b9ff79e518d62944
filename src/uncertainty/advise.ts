import type { Budget, CombinedBudget, CombinedLine } from "./budget.ts";
import { combine } from "./combine.ts";
import { coverageFactor } from "./coverage-factor.ts";

/** Something that would make a budget smaller, or that its reader should know; `U` is what it would become. */
export interface Advice {
  readonly kind: "improve" | "more-readings" | "shape" | "correlation" | "negligible";
  readonly lines: readonly string[];
  readonly U?: number;
  readonly words: string;
}

export interface BudgetAdvice {
  /** The fewest lines that make up four fifths of the variance, largest first. */
  readonly dominant: readonly { readonly name: string; readonly share: number }[];
  readonly advice: readonly Advice[];
}

const enoughShare = 0.8;
/** A line below this share changes U by less than half a per cent when it is left out altogether. */
const negligibleShare = 0.01;
const fewDegrees = 30;

const figure = (value: number): string => String(Number(value.toPrecision(3)));
const percent = (share: number): string => `${figure(100 * share)} %`;
const quoted = (names: readonly string[]): string => names.map((name) => `"${name}"`).join(", ");

const dominantOf = (lines: readonly CombinedLine[]): readonly CombinedLine[] => {
  const sorted = lines.filter(({ share }) => share > 0).toSorted((a, b) => b.share - a.share);
  const fewest: CombinedLine[] = [];
  let sum = 0;
  for (const line of sorted) {
    if (sum >= enoughShare) break;
    fewest.push(line);
    sum += line.share;
  }
  return fewest;
};

const halved = (budget: Budget, combined: CombinedBudget, line: CombinedLine): Advice | undefined => {
  const place = combined.lines.indexOf(line);
  const lines = budget.lines.map((each, index) => (index === place ? { ...each, u: each.u / 2 } : each));
  const better = combine({ ...budget, lines });
  if (!better.ok || better.value.U >= combined.U) return undefined;
  const { U } = better.value;
  const words = `"${line.name}" makes ${percent(line.share)} of u². With half its u, U would be ${figure(U)} instead of ${figure(combined.U)}.`;
  return { kind: "improve", lines: [line.name], U, words };
};

/** Few readings cost twice: by their u and by a larger k. */
const moreReadings = ({ lines, dof, k, u, level }: CombinedBudget): Advice[] => {
  if (!(dof < fewDegrees)) return [];
  const limit = coverageFactor(level, Number.POSITIVE_INFINITY);
  const few = lines.filter((line) => line.dof < fewDegrees && line.share > negligibleShare).map(({ name }) => name);
  const words = `Only ${figure(dof)} effective degrees of freedom make k = ${figure(k)}; with many more readings for ${quoted(few)} it would come down to ${figure(limit)}, and U to ${figure(limit * u)} even if u stayed.`;
  return [{ kind: "more-readings", lines: few, U: limit * u, words }];
};

/** Where one line of limited spread rules, Student's k is too large (EA-4/02 M:2022, S9 to S13 show it; JCGM 101 clause 8). */
const shapeOf = ({ lines }: CombinedBudget): Advice[] => {
  const limited = lines.filter((line) => line.distribution !== "normal" && line.distribution !== "student");
  const ruling = limited.find(({ share }) => share > 0.6);
  if (ruling === undefined) return [];
  const words = `"${ruling.name}" is ${ruling.distribution} and rules the budget (${percent(ruling.share)} of u²), so the distribution of the result is not normal and this k is too large. Monte Carlo gives the shorter interval.`;
  return [{ kind: "shape", lines: [ruling.name], words }];
};

const correlationAdvice = (budget: Budget, combined: CombinedBudget): Advice[] => {
  if ((budget.correlations ?? []).every(({ r }) => r === 0)) return [];
  const independent = combine({ ...budget, correlations: [] });
  if (!independent.ok || independent.value.U === combined.U) return [];
  const names = [...new Set(budget.correlations!.flatMap(({ a, b }) => [a, b]))];
  const { U } = independent.value;
  const words = `The declared correlations ${U < combined.U ? "raise" : "lower"} U from ${figure(U)} to ${figure(combined.U)}.`;
  return [{ kind: "correlation", lines: names, U, words }];
};

const negligible = ({ lines }: CombinedBudget): Advice[] => {
  const names = lines.filter(({ share }) => Math.abs(share) < negligibleShare).map(({ name }) => name);
  if (names.length === 0 || names.length === lines.length) return [];
  const words = `Nothing is won by improving ${quoted(names)}: ${names.length === 1 ? "it makes" : "each makes"} less than ${percent(negligibleShare)} of u².`;
  return [{ kind: "negligible", lines: names, words }];
};

/** The dominant lines of a combined budget and what would make its U smaller, with the U that it would have then. */
export const advise = (budget: Budget, combined: CombinedBudget): BudgetAdvice => {
  if (!(combined.u > 0)) return { dominant: [], advice: [] };
  const dominant = dominantOf(combined.lines);
  return {
    dominant: dominant.map(({ name, share }) => ({ name, share })),
    advice: [
      ...dominant.flatMap((line) => halved(budget, combined, line) ?? []),
      ...moreReadings(combined),
      ...shapeOf(combined),
      ...correlationAdvice(budget, combined),
      ...negligible(combined),
    ],
  };
};
