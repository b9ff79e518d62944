import { failure, success, type FaultValue, type Outcome } from "#fault";
import { usualLevel } from "../budget.ts";
import { conformanceOfTrials } from "../conformity/conformance-probability.ts";
import type { Limits } from "../conformity/limits.ts";
import { numericalTolerance } from "./numerical-tolerance.ts";
import { mergeSorted } from "./sort-values.ts";
import { momentsOf, summarise, symmetricInterval, type TrialSummary } from "./summarise.ts";
import { trialsInBlock, type Trials } from "./trials.ts";

export interface SimulationSettings {
  /** Number of trials, 1000 to 10⁷; or `adaptive`: until the results are stable (JCGM 101:2008, 7.9), 10⁷ at most. */
  readonly trials: number | "adaptive";
  /** Any finite number. */
  readonly seed: number;
  /** Coverage probability of the intervals, between 0 and 1; 0.9545 where nothing is said. */
  readonly level?: number;
  /** Significant digits of u that mean something, 1 or 2, for the adaptive procedure; 2 where nothing is said. */
  readonly digits?: 1 | 2;
  /** Limits of a tolerance: the share of trials within them is the conformance probability. */
  readonly limits?: Limits;
}

export interface Simulated extends TrialSummary {
  readonly level: number;
  readonly trials: number;
  readonly seed: number;
  /** Share of trials within the limits, where limits were given. */
  readonly conformanceProbability?: number;
  /** Of an adaptive number of trials: whether the results became stable before the greatest number was reached. */
  readonly stable?: boolean;
}

const mostTrials = 10_000_000;
const fewestTrials = 1000;
/** The clause looks from the second round on; with so few rounds, chance is often taken for stability. */
const fewestRounds = 10;

/** Running mean and square sum over blocks (T. F. Chan, G. H. Golub, R. J. LeVeque, 1979, from memory). */
class Pooled {
  #count = 0;
  #mean = 0;
  #square = 0;

  add(count: number, mean: number, u: number): void {
    const all = this.#count + count;
    const step = mean - this.#mean;
    this.#square += u * u * (count - 1) + (step * step * this.#count * count) / all;
    this.#mean += (step * count) / all;
    this.#count = all;
  }

  get u(): number {
    return Math.sqrt(this.#square / (this.#count - 1));
  }
}

/** One sequence of estimates of the same quantity, and the standard deviation of their mean (JCGM 101:2008, 7.9.4 e). */
const deviationOfMean = (values: readonly number[]): number => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return Math.sqrt(square / (values.length * (values.length - 1)));
};

/**
 * A simulation as it grows: it says how many trials each block shall have, takes the blocks in their order, and knows when
 * it has enough. Whoever works out the blocks, here or on other threads, gets the same digits.
 */
export class SimulationRun {
  readonly #settings: SimulationSettings;
  readonly #level: number;
  readonly #blocks: Float64Array[] = [];
  readonly #pooled = new Pooled();
  readonly #rounds: number[][] = [[], [], [], []];
  readonly #blocksInRound: number;
  #round: Float64Array[] = [];
  #taken = 0;
  #refused = 0;
  #stable = false;

  private constructor(settings: SimulationSettings) {
    this.#settings = settings;
    this.#level = settings.level ?? usualLevel;
    // A round has at least 100/(1 − p) trials (7.9.4 b); what rounding adds to a whole number is no further trial.
    this.#blocksInRound = Math.max(1, Math.ceil((100 / (1 - this.#level) / trialsInBlock) * (1 - 1e-9)));
  }

  /** A number of trials, a level or digits that cannot be: `uncertainty.invalid`. */
  static begin(settings: SimulationSettings): Outcome<SimulationRun> {
    const { trials, level = usualLevel, digits = 2 } = settings;
    const whole = trials === "adaptive" || (Number.isInteger(trials) && trials >= fewestTrials && trials <= mostTrials);
    if (!whole) {
      const words = `The number of trials must be a whole number from ${fewestTrials} to ${mostTrials}, or "adaptive".`;
      return failure("uncertainty.invalid", words, { trials });
    }
    if (!(level > 0 && level < 1)) {
      const words = "The coverage level must lie between 0 and 1, for example 0.9545.";
      return failure("uncertainty.invalid", words, { level });
    }
    if (trials === "adaptive" && 100 / (1 - level) > mostTrials / 2) {
      const words = `At a level of ${level} the adaptive procedure needs more than ${mostTrials} trials; give a number of trials, or a lower level.`;
      return failure("uncertainty.invalid", words, { level });
    }
    if (digits !== 1 && digits !== 2) {
      return failure("uncertainty.invalid", "One or two significant digits of u can be asked for.", { digits });
    }
    return success(new SimulationRun(settings));
  }

  /** Whether block `index` is still wanted, so far as is known, and with how many trials; 0 for a block past the end. */
  countOf(index: number): number {
    const { trials } = this.#settings;
    if (this.done) return 0;
    const most = trials === "adaptive" ? mostTrials : trials;
    return Math.max(0, Math.min(trialsInBlock, most - index * trialsInBlock));
  }

  get done(): boolean {
    const { trials } = this.#settings;
    if (this.#refused > 0) return true;
    return trials === "adaptive" ? this.#stable || this.#taken >= mostTrials : this.#taken >= trials;
  }

  /** Trials taken so far, and how many there will be at most. */
  get progress(): { readonly done: number; readonly of: number | null } {
    const { trials } = this.#settings;
    return { done: this.#taken, of: trials === "adaptive" ? null : trials };
  }

  /** Takes the next block in order, sorted. */
  take(sorted: Float64Array): void {
    // NaN and infinities lie at the ends of a sorted block, so a look at both ends tells whether there are any.
    if (!Number.isFinite(sorted[0]) || !Number.isFinite(sorted[sorted.length - 1]))
      this.#refused += sorted.reduce((sum, value) => (Number.isFinite(value) ? sum : sum + 1), 0);
    this.#taken += sorted.length;
    this.#blocks.push(sorted);
    if (this.#settings.trials !== "adaptive" || this.#refused > 0) return;
    this.#round.push(sorted);
    if (this.#round.length === this.#blocksInRound) this.#endRound();
  }

  /** Stable when twice the standard deviation of each of the four results is below δ (JCGM 101:2008, 7.9.4 e to h). */
  #endRound(): void {
    const round = mergeSorted(this.#round);
    this.#round = [];
    const { mean, u } = momentsOf(round);
    this.#pooled.add(round.length, mean, u);
    for (const [place, value] of [mean, u, ...symmetricInterval(round, this.#level)].entries()) {
      this.#rounds[place]!.push(value);
    }
    if (this.#rounds[0]!.length < fewestRounds) return;
    const delta = numericalTolerance(this.#pooled.u, this.#settings.digits ?? 2);
    this.#stable = this.#rounds.every((values) => 2 * deviationOfMean(values) <= delta);
  }

  /** The results of all trials taken. A model without an answer in some trial: `uncertainty.invalid`, with their number. */
  outcome(): Outcome<Simulated> {
    const { seed, limits, trials } = this.#settings;
    if (this.#refused > 0) return this.#refusal();
    const sorted = mergeSorted(this.#blocks);
    const summary = summarise(sorted, this.#level);
    if (!Number.isFinite(summary.u) || !Number.isFinite(summary.mean)) return tooLarge;
    const conformance = limits === undefined ? undefined : conformanceOfTrials(sorted, limits);
    if (conformance !== undefined && !conformance.ok) return conformance;
    return success({
      ...summary,
      level: this.#level,
      trials: sorted.length,
      seed,
      ...(conformance === undefined ? {} : { conformanceProbability: conformance.value }),
      ...(trials === "adaptive" ? { stable: this.#stable } : {}),
    });
  }

  #refusal(): { readonly ok: false; readonly fault: FaultValue } {
    const data = { refused: this.#refused, trials: this.#taken };
    const words = `The model has no finite answer in ${this.#refused} of ${this.#taken} trials: some inputs reach beyond where it is defined, or are too large for a number.`;
    return failure("uncertainty.invalid", words, data);
  }
}

const tooLarge = failure(
  "uncertainty.invalid",
  "The trials are too large for a number; check the units of the inputs.",
);

/** Works out a whole simulation on this thread. */
export const runTrials = (run: SimulationRun, trials: Trials): Outcome<Simulated> => {
  for (let index = 0; ; index += 1) {
    const count = run.countOf(index);
    if (count === 0) return run.outcome();
    run.take(trials.block(index, count));
  }
};
