/**
 * The deviation function of one ITS-90 subrange: W − Wr as a function of W (clauses 3.3.1 to 3.3.3).
 *
 *   1 to 3:   a(W−1) + b(W−1)² + Σ c_i (ln W)^(i+n)
 *   4:        a(W−1) + b(W−1) ln W
 *   5 to 11:  a(W−1) + b(W−1)² + c(W−1)³ + d(W−W_Al)², the last above the aluminium point only
 */
export class Deviation {
  readonly #a: number;
  readonly #b: number;
  readonly #c: number;
  readonly #d: number;
  readonly #aluminium: number;
  readonly #mixed: boolean;
  readonly #logs: Float64Array;
  readonly #power: number;

  constructor(terms: DeviationTerms) {
    this.#a = terms.a;
    this.#b = terms.b;
    this.#c = terms.c;
    this.#d = terms.d;
    this.#aluminium = terms.aluminium;
    this.#mixed = terms.mixed;
    this.#logs = Float64Array.from(terms.logarithmic);
    this.#power = terms.logarithmPower;
  }

  value(ratio: number): number {
    const w = ratio - 1;
    if (this.#mixed) return w * (this.#a + this.#b * Math.log(ratio));
    let value = w * (this.#a + w * (this.#b + w * this.#c));
    if (this.#d !== 0 && ratio > this.#aluminium) value += this.#d * (ratio - this.#aluminium) ** 2;
    if (this.#logs.length > 0) {
      const log = Math.log(ratio);
      let power = log ** this.#power;
      for (let index = 0; index < this.#logs.length; index += 1) {
        power *= log;
        value += this.#logs[index]! * power;
      }
    }
    return value;
  }

  slope(ratio: number): number {
    const w = ratio - 1;
    if (this.#mixed) return this.#a + this.#b * (Math.log(ratio) + w / ratio);
    let slope = this.#a + w * (2 * this.#b + w * 3 * this.#c);
    if (this.#d !== 0 && ratio > this.#aluminium) slope += 2 * this.#d * (ratio - this.#aluminium);
    if (this.#logs.length > 0) {
      const log = Math.log(ratio);
      let power = log ** this.#power;
      for (let index = 0; index < this.#logs.length; index += 1) {
        slope += (this.#logs[index]! * (this.#power + index + 1) * power) / ratio;
        power *= log;
      }
    }
    return slope;
  }

  /**
   * The W for which W − deviation(W) is the reference ratio: Newton's method from the first-order answer. A few
   * micro-units of deviation need two steps; coefficients for which it does not converge give NaN.
   */
  ratioOf(reference: number): number {
    let ratio = reference + this.value(reference);
    for (let round = 0; round < 60; round += 1) {
      const step = (ratio - this.value(ratio) - reference) / (1 - this.slope(ratio));
      ratio -= step;
      // Rounding may let it go to and fro in the last digit: after some rounds that is near enough.
      if (Math.abs(step) <= (round > 10 ? 1e-15 : 2e-16) * ratio) return ratio;
    }
    return Number.NaN;
  }
}

export interface DeviationTerms {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  /** W at the aluminium point; infinite where the last term never applies. */
  readonly aluminium: number;
  /** True for subrange 4, whose second term is (W−1)·ln W. */
  readonly mixed: boolean;
  readonly logarithmic: readonly number[];
  readonly logarithmPower: number;
}
