import { failure, success, type Outcome } from "#fault";
import { choleskyFactor } from "#numerics";
import type { CheckedBudget } from "../checked-budget.ts";

/** How the columns of unit draws of correlated inputs are made from independent ones. */
export type Tie =
  /** The draws of an input that has none of its own: those of input `as` times `sign` (wholly common quantities). */
  | { readonly kind: "same"; readonly as: number; readonly sign: 1 | -1 }
  /** Row `index` of the lower triangular factor over the inputs `members`, all normal (JCGM 101:2008, 6.4.8.4). */
  | { readonly kind: "mixed"; readonly members: readonly number[]; readonly factors: readonly number[] };

const tiedTo = (matrix: readonly (readonly number[])[], start: number): number[] => {
  const part = [start];
  for (let next = 0; next < part.length; next += 1) {
    for (let other = 0; other < matrix.length; other += 1) {
      if (!part.includes(other) && matrix[part[next]!]![other] !== 0) part.push(other);
    }
  }
  return part.sort((a, b) => a - b);
};

/**
 * Ties of a budget's inputs, undefined where an input is independent. Normal inputs may be correlated in any way; others
 * only wholly (r = ±1) with inputs of the same distribution, because no joint distribution is laid down for the rest
 * (JCGM 101:2008, 6.4.8 knows the normal one): `uncertainty.invalid` names the input.
 */
export const tiesOf = ({ lines, correlation }: CheckedBudget): Outcome<readonly (Tie | undefined)[]> => {
  const ties = lines.map((): Tie | undefined => undefined);
  if (correlation === undefined) return success(ties);
  const done = new Set<number>();
  for (let start = 0; start < lines.length; start += 1) {
    if (done.has(start)) continue;
    const part = tiedTo(correlation, start);
    for (const index of part) done.add(index);
    if (part.length === 1) continue;
    if (part.every((index) => lines[index]!.distribution === "normal")) {
      const factor = choleskyFactor(part.map((row) => part.map((column) => correlation[row]![column]!)))!;
      for (const [row, index] of part.entries()) {
        const members = part.slice(0, row + 1);
        ties[index] = { kind: "mixed", members, factors: factor[row]!.slice(0, row + 1) };
      }
      continue;
    }
    const [first, ...others] = part as [number, ...number[]];
    for (const index of others) {
      const r = correlation[first]![index]!;
      const alike = (["distribution", "dof", "shape"] as const).every(
        (key) => lines[index]![key] === lines[first]![key],
      );
      if (Math.abs(r) !== 1 || !alike) {
        const odd = lines[index]!.distribution === "normal" ? lines[first]! : lines[index]!;
        return failure(
          "uncertainty.invalid",
          `"${odd.name}" is correlated and not normal; Monte Carlo draws correlated inputs from normal distributions, or wholly correlated ones (r = 1 or -1) of the same distribution.`,
          { name: odd.name },
        );
      }
      ties[index] = { kind: "same", as: first, sign: r > 0 ? 1 : -1 };
    }
  }
  return success(ties);
};
