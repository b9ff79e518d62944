import { failure, success, type Outcome } from "#fault";
import { seededGenerator, type Generator } from "#numerics";
import type { BudgetLine, CompleteLine, Correlation } from "../budget.ts";
import { checkedBudget } from "../checked-budget.ts";
import { tiesOf, type Tie } from "./correlated-draws.ts";
import { drawColumn } from "./draw-column.ts";
import { Sorter } from "./sort-values.ts";

/** An input quantity of a model: its estimate, standard uncertainty and distribution. */
export type InputQuantity = Omit<BudgetLine, "sensitivity">;

/** y = f(x) for one trial; `x` holds the inputs in their order and is used again for the next trial. */
export type ScalarModel = (x: Float64Array) => number;

/** The same for many trials at once: `columns[i][t]` is input i of trial t, `into[t]` takes its y. Arrays are used again. */
export interface BlockModel {
  fill(columns: readonly Float64Array[], into: Float64Array): void;
}

export type Model = ScalarModel | BlockModel;

export interface TrialSettings {
  /** Any finite number: the same seed gives the same digits. */
  readonly seed: number;
  readonly correlations?: readonly Correlation[];
}

/**
 * Trials are cut into blocks of this many, each with a random stream of its own, so that it does not matter who works out
 * which block, or in which order. It is the least number of trials of one round of the adaptive procedure (JCGM 101:2008,
 * 7.9.4).
 */
export const trialsInBlock = 10_000;

/** Works out single blocks of trials. */
export interface Trials {
  /** Values of the model in block `index`, its first `count` trials, in rising order. What a model cannot answer is NaN. */
  block(index: number, count: number): Float64Array<ArrayBuffer>;
}

const overRows = (model: ScalarModel, columns: readonly Float64Array[], into: Float64Array): void => {
  const row = new Float64Array(columns.length);
  for (let trial = 0; trial < into.length; trial += 1) {
    for (let input = 0; input < columns.length; input += 1) row[input] = columns[input]![trial]!;
    into[trial] = model(row);
  }
};

/** Columns of inputs that are drawn again and again, block after block. */
class Draws {
  readonly #lines: readonly CompleteLine[];
  readonly #ties: readonly (Tie | undefined)[];
  #units: Float64Array[] = [];
  #columns: Float64Array[] = [];

  constructor(lines: readonly CompleteLine[], ties: readonly (Tie | undefined)[]) {
    this.#lines = lines;
    this.#ties = ties;
  }

  /** All inputs, `count` trials, each input from a stream of its own. */
  draw(generator: Generator, count: number): readonly Float64Array[] {
    if (this.#columns[0]?.length !== count) {
      this.#columns = this.#lines.map(() => new Float64Array(count));
      this.#units = this.#lines.map((_, input) =>
        this.#isMember(input) ? new Float64Array(count) : new Float64Array(0),
      );
    }
    for (const [input, line] of this.#lines.entries()) {
      // What others are mixed from is drawn about 0, in units of its standard uncertainty.
      if (this.#isMember(input)) drawColumn({ ...line, value: 0, u: 1 }, generator.fork(input), this.#units[input]!);
      else if (this.#ties[input] === undefined) drawColumn(line, generator.fork(input), this.#columns[input]!);
    }
    for (const input of this.#lines.keys()) this.#mix(input);
    return this.#columns;
  }

  #isMember(input: number): boolean {
    return this.#ties.some((tie) => (tie?.kind === "same" ? tie.as === input : tie?.members.includes(input) === true));
  }

  /** An input that is correlated with others, from the units of those; or one that others follow, from its own. */
  #mix(input: number): void {
    const tie = this.#ties[input];
    if (tie === undefined && !this.#isMember(input)) return;
    const { value, u } = this.#lines[input]!;
    const column = this.#columns[input]!.fill(value);
    const members = tie === undefined ? [input] : tie.kind === "same" ? [tie.as] : tie.members;
    const factors = tie === undefined ? [1] : tie.kind === "same" ? [tie.sign] : tie.factors;
    for (const [place, member] of members.entries()) {
      const [factor, units] = [u * factors[place]!, this.#units[member]!];
      for (let trial = 0; trial < column.length; trial += 1) column[trial]! += factor * units[trial]!;
    }
  }
}

/**
 * Checks inputs and correlations and makes ready to draw. A number that cannot be drawn from, names that do not fit,
 * correlations that cannot hold: `uncertainty.invalid` (as for a budget).
 */
export const prepareTrials = (
  model: Model,
  inputs: readonly InputQuantity[],
  { seed, correlations }: TrialSettings,
): Outcome<Trials> => {
  const checked = checkedBudget({ lines: inputs, ...(correlations === undefined ? {} : { correlations }) });
  if (!checked.ok) return checked;
  if (!Number.isFinite(seed)) return failure("uncertainty.invalid", "The seed must be a finite number.");
  const ties = tiesOf(checked.value);
  if (!ties.ok) return ties;
  const { lines } = checked.value;
  const root = seededGenerator(seed);
  const draws = new Draws(lines, ties.value);
  const sorter = new Sorter();
  return success({
    block: (index, count) => {
      const columns = draws.draw(root.fork(index), count);
      const values = new Float64Array(count);
      if (typeof model === "function") overRows(model, columns, values);
      else model.fill(columns, values);
      sorter.sort(values);
      return values;
    },
  });
};
