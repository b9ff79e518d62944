import { choleskyFactor } from "#numerics";

export type Matrix = readonly (readonly number[])[];

/** A symmetric positive definite matrix by its lower triangle. */
export interface Factor {
  readonly lower: Matrix;
  readonly logDeterminant: number;
}

/** Undefined where the matrix has a direction without any spread. */
export const factorOf = (matrix: Matrix): Factor | undefined => {
  const lower = choleskyFactor(matrix, 1e-14);
  if (lower === undefined || lower.some((row, index) => !(row[index]! > 0))) return undefined;
  return { lower, logDeterminant: 2 * lower.reduce((sum, row, index) => sum + Math.log(row[index]!), 0) };
};

/** L⁻¹·v. */
export const whiten = ({ lower }: Factor, vector: readonly number[]): number[] => {
  const answer: number[] = [];
  for (let row = 0; row < vector.length; row += 1) {
    let rest = vector[row]!;
    for (let column = 0; column < row; column += 1) rest -= lower[row]![column]! * answer[column]!;
    answer.push(rest / lower[row]![row]!);
  }
  return answer;
};

/** (L·Lᵀ)⁻¹·v. */
export const solve = (factor: Factor, vector: readonly number[]): number[] => {
  const answer = whiten(factor, vector);
  for (let row = answer.length - 1; row >= 0; row -= 1) {
    for (let below = row + 1; below < answer.length; below += 1)
      answer[row]! -= factor.lower[below]![row]! * answer[below]!;
    answer[row]! /= factor.lower[row]![row]!;
  }
  return answer;
};

export const dot = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((sum, value, index) => sum + value * b[index]!, 0);
