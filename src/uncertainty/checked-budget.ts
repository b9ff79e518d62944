import { failure, success, type FaultValue, type Outcome } from "#fault";
import { choleskyFactor } from "#numerics";
import type { Budget, BudgetLine, CompleteLine, Correlation } from "./budget.ts";
import { distributions } from "./distribution.ts";

/** A budget with its defaults written out and its correlations as a matrix; without correlations there is no matrix. */
export interface CheckedBudget {
  readonly lines: readonly CompleteLine[];
  readonly correlation: readonly (readonly number[])[] | undefined;
}

interface Failed {
  readonly ok: false;
  readonly fault: FaultValue;
}

const invalid = (sentence: string, data?: Readonly<Record<string, unknown>>): Failed =>
  failure("uncertainty.invalid", sentence, data);

const lineFault = (line: CompleteLine, index: number): Failed | undefined => {
  const name = `line ${index + 1} ("${line.name}")`;
  const data = { line: index, name: line.name };
  if (!Number.isFinite(line.value)) return invalid(`The value of ${name} is not a finite number.`, data);
  if (!Number.isFinite(line.sensitivity)) return invalid(`The sensitivity of ${name} is not a finite number.`, data);
  if (!(line.u >= 0 && line.u < Number.POSITIVE_INFINITY)) {
    return invalid(`The standard uncertainty of ${name} must be a finite number, 0 or more.`, data);
  }
  if (!(line.dof > 0)) return invalid(`The degrees of freedom of ${name} must be above 0.`, data);
  if (!distributions.includes(line.distribution)) {
    return invalid(`The distribution of ${name} must be one of ${distributions.join(", ")}.`, data);
  }
  if (line.shape !== undefined && !(line.shape >= 0 && line.shape <= 1))
    return invalid(`The shape of ${name} (top of the trapezoid over its base) must lie from 0 to 1.`, data);
  if (!Number.isFinite(line.sensitivity * line.u))
    return invalid(`The contribution of ${name} is too large for a number.`, data);
  return undefined;
};

const matrixOf = (
  lines: readonly CompleteLine[],
  correlations: readonly Correlation[],
): Outcome<readonly (readonly number[])[]> => {
  const matrix: number[][] = lines.map((_, row) => lines.map((__, column) => (row === column ? 1 : 0)));
  const given = new Set<number>();
  for (const { a, b, r } of correlations) {
    const [row, column] = [a, b].map((name) => lines.findIndex((line) => line.name === name)) as [number, number];
    for (const [name, index] of [
      [a, row],
      [b, column],
    ] as const) {
      if (index < 0) return invalid(`A correlation names "${name}", which is not a line of the budget.`, { name });
      if (lines.filter((line) => line.name === name).length > 1) {
        return invalid(`A correlation names "${name}", but several lines have this name; give each its own.`, { name });
      }
    }
    if (row === column) return invalid(`A line cannot be correlated with itself ("${a}").`, { name: a });
    if (!(Math.abs(r) <= 1)) return invalid(`The correlation of "${a}" and "${b}" must lie from -1 to 1.`, { a, b });
    const pair = Math.min(row, column) * lines.length + Math.max(row, column);
    if (given.has(pair)) return invalid(`The correlation of "${a}" and "${b}" is given twice.`, { a, b });
    given.add(pair);
    matrix[row]![column] = r;
    matrix[column]![row] = r;
  }
  return choleskyFactor(matrix) === undefined
    ? invalid("The correlations cannot hold together: their matrix is not positive semi-definite.")
    : success(matrix);
};

const usualShape = 0.5;

/** A line with its defaults written out. */
const completeLine = (line: BudgetLine): CompleteLine => ({
  name: line.name,
  value: line.value ?? 0,
  u: line.u,
  dof: line.dof ?? Number.POSITIVE_INFINITY,
  sensitivity: line.sensitivity ?? 1,
  distribution: line.distribution ?? "normal",
  ...(line.distribution === "trapezoid" ? { shape: line.shape ?? usualShape } : {}),
});

/** Checks a budget before anything is worked out from it; the first thing that is wrong comes back, with its line. */
export const checkedBudget = (budget: Budget): Outcome<CheckedBudget> => {
  if (budget.lines.length === 0) return invalid("A budget needs at least one line.");
  const lines = budget.lines.map(completeLine);
  for (const [index, line] of lines.entries()) {
    const fault = lineFault(line, index);
    if (fault !== undefined) return fault;
  }
  if (budget.level !== undefined && !(budget.level > 0 && budget.level < 1)) {
    return invalid("The coverage level must lie between 0 and 1, for example 0.9545.", { level: budget.level });
  }
  if (budget.k !== undefined && !(budget.k > 0 && budget.k < Number.POSITIVE_INFINITY)) {
    return invalid("The coverage factor k must be a finite number above 0.", { k: budget.k });
  }
  const correlations = budget.correlations ?? [];
  if (correlations.length === 0) return success({ lines, correlation: undefined });
  const matrix = matrixOf(lines, correlations);
  return matrix.ok ? success({ lines, correlation: matrix.value }) : matrix;
};
