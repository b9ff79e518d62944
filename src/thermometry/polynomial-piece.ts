/** amplitude·exp(rate·(t − centre)²): the term that type K has from 0 °C up. */
export interface Exponential {
  readonly amplitude: number;
  readonly rate: number;
  readonly centre: number;
}

/**
 * A polynomial in u = (t − centre)·scale on one stretch of t, with an optional exponential. The unit of t is the caller's.
 */
export class PolynomialPiece {
  readonly lower: number;
  readonly upper: number;
  readonly #coefficients: Float64Array;
  readonly #centre: number;
  readonly #scale: number;
  readonly #amplitude: number;
  readonly #rate: number;
  readonly #expCentre: number;

  constructor(
    range: { readonly lower: number; readonly upper: number },
    coefficients: Float64Array,
    variable: { readonly centre: number; readonly scale: number } = { centre: 0, scale: 1 },
    exponential: Exponential = { amplitude: 0, rate: 0, centre: 0 },
  ) {
    this.lower = range.lower;
    this.upper = range.upper;
    this.#coefficients = coefficients;
    this.#centre = variable.centre;
    this.#scale = variable.scale;
    this.#amplitude = exponential.amplitude;
    this.#rate = exponential.rate;
    this.#expCentre = exponential.centre;
  }

  value(t: number): number {
    const coefficients = this.#coefficients;
    const u = (t - this.#centre) * this.#scale;
    let value = 0;
    for (let index = coefficients.length - 1; index >= 0; index -= 1) value = value * u + coefficients[index]!;
    if (this.#amplitude === 0) return value;
    const off = t - this.#expCentre;
    return value + this.#amplitude * Math.exp(this.#rate * off * off);
  }

  slope(t: number): number {
    const coefficients = this.#coefficients;
    const u = (t - this.#centre) * this.#scale;
    let slope = 0;
    for (let index = coefficients.length - 1; index >= 1; index -= 1) slope = slope * u + index * coefficients[index]!;
    slope *= this.#scale;
    if (this.#amplitude === 0) return slope;
    const off = t - this.#expCentre;
    return slope + 2 * this.#rate * off * this.#amplitude * Math.exp(this.#rate * off * off);
  }

  /**
   * The t in [low, high] at which the value is `goal`, on a stretch where it rises (direction 1) or falls (−1), from a
   * start inside. Newton's method; a step that leaves the bracket is replaced by halving, so it always ends.
   */
  solve(goal: number, direction: 1 | -1, start: number, low: number, high: number): number {
    const coefficients = this.#coefficients;
    const last = coefficients.length - 1;
    const scale = this.#scale;
    const close = 1e-9 * (this.upper - this.lower);
    let below = low;
    let above = high;
    let t = start;
    const nearlyClose = 1e-7 * (this.upper - this.lower);
    let settled = false;
    for (let round = 0; round < 100; round += 1) {
      const u = (t - this.#centre) * scale;
      let value = coefficients[last]!;
      let slope = 0;
      for (let index = last - 1; index >= 0; index -= 1) {
        slope = slope * u + value;
        value = value * u + coefficients[index]!;
      }
      slope *= scale;
      if (this.#amplitude !== 0) {
        const off = t - this.#expCentre;
        const bump = this.#amplitude * Math.exp(this.#rate * off * off);
        value += bump;
        slope += 2 * this.#rate * off * bump;
      }
      const miss = value - goal;
      if (miss === 0) return t;
      if (miss * direction > 0) above = t;
      else below = t;
      let next = t - miss / slope;
      // Within rounding of an end the root may lie on the far side of it; the end is then the answer.
      if (!(next >= below && next <= above))
        next = settled ? Math.min(Math.max(next, below), above) : (below + above) / 2;
      const moved = Math.abs(next - t);
      t = next;
      if (settled || moved <= close) return t;
      // Newton doubles its good digits: after a step this small, one more leaves nothing but rounding.
      settled = moved <= nearlyClose;
    }
    return t;
  }
}
