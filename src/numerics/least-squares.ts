/** A linear model: y ≈ design · coefficients. */
export interface LeastSquaresInput {
  /** One row per observation, one number per coefficient. */
  readonly design: readonly (readonly number[])[];
  readonly observations: readonly number[];
  /** Standard uncertainty of each observation; all alike (and unknown) where nothing is said. */
  readonly uncertainties?: readonly number[];
}

export interface LeastSquaresFit {
  readonly ok: true;
  readonly coefficients: readonly number[];
  /**
   * Covariance of the coefficients. With `uncertainties` it follows from them alone; without, the residual variance is
   * taken as the variance of the observations (JCGM 100:2008, H.3.2).
   */
  readonly covariance: readonly (readonly number[])[];
  /** (XᵀX)⁻¹, or (XᵀV⁻¹X)⁻¹ when uncertainties are given: covariance for observations of unit variance. */
  readonly unscaledCovariance: readonly (readonly number[])[];
  readonly standardErrors: readonly number[];
  /** Observation minus model, in the unit of the observations. */
  readonly residuals: readonly number[];
  /** Root of the (weighted) sum of squared residuals over the degrees of freedom; 0 when there are none left. */
  readonly residualStandardDeviation: number;
  readonly degreesOfFreedom: number;
}

export interface LeastSquaresFailure {
  readonly ok: false;
  readonly reason: "not-finite" | "shape" | "too-few-observations" | "not-independent";
}

/** A running sum that keeps what rounding would lose: products and additions exact to about twice the usual digits. */
class ExactSum {
  #sum = 0;
  #lost = 0;

  add(value: number): void {
    const next = this.#sum + value;
    const carry = next - this.#sum;
    this.#lost += this.#sum - (next - carry) + (value - carry);
    this.#sum = next;
  }

  /** Adds a·b, its rounding error found by splitting the factors (Veltkamp and Dekker). */
  addProduct(a: number, b: number): void {
    const product = a * b;
    const ah = a * splitter - (a * splitter - a);
    const bh = b * splitter - (b * splitter - b);
    this.#lost += (a - ah) * (b - bh) - (product - ah * bh - (a - ah) * bh - ah * (b - bh));
    this.add(product);
  }

  get value(): number {
    return this.#sum + this.#lost;
  }
}
const splitter = 134_217_729;

/** Householder factors of a matrix held by columns: reflectors below, R above, its diagonal apart. */
interface Factors {
  readonly columns: readonly Float64Array[];
  readonly diagonal: Float64Array;
}

const factorise = (columns: readonly Float64Array[]): Factors => {
  const width = columns.length;
  const diagonal = new Float64Array(width);
  for (let pivot = 0; pivot < width; pivot += 1) {
    const column = columns[pivot]!;
    let square = 0;
    for (let row = pivot; row < column.length; row += 1) square += column[row]! ** 2;
    const norm = Math.sqrt(square) * (column[pivot]! > 0 ? -1 : 1);
    diagonal[pivot] = norm;
    if (norm === 0) continue;
    column[pivot] = column[pivot]! - norm;
    const scale = -norm * column[pivot]!;
    for (let other = pivot + 1; other < width; other += 1) reflect(column, columns[other]!, pivot, scale);
  }
  return { columns, diagonal };
};

const reflect = (reflector: Float64Array, target: Float64Array, from: number, scale: number): void => {
  let dot = 0;
  for (let row = from; row < target.length; row += 1) dot += reflector[row]! * target[row]!;
  const factor = dot / scale;
  for (let row = from; row < target.length; row += 1) target[row] = target[row]! - factor * reflector[row]!;
};

const solveUpper = ({ columns, diagonal }: Factors, right: Float64Array): Float64Array => {
  const width = columns.length;
  const solution = new Float64Array(width);
  for (let row = width - 1; row >= 0; row -= 1) {
    let rest = right[row]!;
    for (let column = row + 1; column < width; column += 1) rest -= columns[column]![row]! * solution[column]!;
    solution[row] = rest / diagonal[row]!;
  }
  return solution;
};

const applyTransposed = ({ columns, diagonal }: Factors, vector: Float64Array): Float64Array => {
  const result = Float64Array.from(vector);
  for (const [pivot, column] of columns.entries()) reflect(column, result, pivot, -diagonal[pivot]! * column[pivot]!);
  return result;
};

/** Q times a vector: the reflections in reverse. */
const apply = ({ columns, diagonal }: Factors, vector: Float64Array): void => {
  for (let pivot = columns.length - 1; pivot >= 0; pivot -= 1) {
    const column = columns[pivot]!;
    reflect(column, vector, pivot, -diagonal[pivot]! * column[pivot]!);
  }
};

/** Rᵀ·h = right, from the top down. */
const solveLower = ({ columns, diagonal }: Factors, right: Float64Array): Float64Array => {
  const solution = new Float64Array(columns.length);
  for (let row = 0; row < columns.length; row += 1) {
    let rest = right[row]!;
    for (let column = 0; column < row; column += 1) rest -= columns[row]![column]! * solution[column]!;
    solution[row] = rest / diagonal[row]!;
  }
  return solution;
};

/**
 * Solves for coefficients and residuals together and corrects both with remainders taken in twice the precision
 * (Å. Björck, BIT 7 (1967) 257-278): what is lost grows with the condition of the design, not with its square.
 */
const refined = (
  factors: Factors,
  rows: readonly Float64Array[],
  right: readonly number[],
): { scaled: Float64Array; residuals: Float64Array } => {
  const width = factors.columns.length;
  const scaled = new Float64Array(width);
  const residuals = new Float64Array(right.length);
  for (let round = 0; round < 6; round += 1) {
    const off = Float64Array.from(rows, (row, index) => {
      const sum = new ExactSum();
      sum.add(right[index]!);
      sum.add(-residuals[index]!);
      for (let column = 0; column < width; column += 1) sum.addProduct(-row[column]!, scaled[column]!);
      return sum.value;
    });
    const slant = Float64Array.from({ length: width }, (_, column) => {
      const sum = new ExactSum();
      for (const [index, row] of rows.entries()) sum.addProduct(-row[column]!, residuals[index]!);
      return sum.value;
    });
    const turned = applyTransposed(factors, off);
    const h = solveLower(factors, slant);
    const step = solveUpper(
      factors,
      turned.subarray(0, width).map((value, index) => value - h[index]!),
    );
    turned.set(h);
    apply(factors, turned);
    for (let column = 0; column < width; column += 1) scaled[column] = scaled[column]! + step[column]!;
    for (let index = 0; index < residuals.length; index += 1) residuals[index] = residuals[index]! + turned[index]!;
  }
  return { scaled, residuals };
};

const isFinite = (values: readonly number[]): boolean => values.every((value) => Number.isFinite(value));

const inputFault = (input: LeastSquaresInput): LeastSquaresFailure["reason"] | undefined => {
  const { design, observations, uncertainties } = input;
  const width = design[0]?.length ?? 0;
  if (width === 0 || design.length !== observations.length || design.some((row) => row.length !== width))
    return "shape";
  if (uncertainties !== undefined && uncertainties.length !== observations.length) return "shape";
  if (uncertainties !== undefined && !uncertainties.every((u) => Number.isFinite(u) && u > 0)) return "not-finite";
  if (design.length < width) return "too-few-observations";
  return undefined;
};

/** (RᵀR)⁻¹ in the units of the unscaled columns. */
const inverseNormal = (factors: Factors, scales: readonly number[]): number[][] => {
  const width = scales.length;
  const inverse = scales.map((_, index) => {
    const unit = new Float64Array(width);
    unit[index] = 1;
    return solveUpper(factors, unit);
  });
  return scales.map((rowScale, row) =>
    scales.map((columnScale, column) => {
      let sum = 0;
      for (let inner = Math.max(row, column); inner < width; inner += 1)
        sum += inverse[inner]![row]! * inverse[inner]![column]!;
      return sum / (rowScale * columnScale);
    }),
  );
};

/**
 * Linear least squares by Householder reflections of the column-scaled design, then refined, so that a
 * polynomial's poor conditioning costs few digits. Never throws: what cannot be fitted
 * comes back with a reason. "not-independent" means that a coefficient cannot be told from the others.
 */
export const leastSquares = (input: LeastSquaresInput): LeastSquaresFit | LeastSquaresFailure => {
  const fault = inputFault(input);
  if (fault !== undefined) return { ok: false, reason: fault };
  const { design, observations, uncertainties } = input;
  const width = design[0]!.length;
  const weights = observations.map((_, index) => 1 / (uncertainties?.[index] ?? 1));
  const scales = Array.from({ length: width }, (_, column) => {
    const largest = design.reduce((most, row, index) => Math.max(most, Math.abs(row[column]! * weights[index]!)), 0);
    // A power of two scales without rounding.
    return largest === 0 ? 1 : 2 ** Math.round(Math.log2(largest));
  });
  const rows = design.map((row, index) =>
    Float64Array.from(row, (value, column) => (value / scales[column]!) * weights[index]!),
  );
  const right = observations.map((value, index) => value * weights[index]!);
  if (!isFinite(right) || !rows.every((row) => row.every((value) => Number.isFinite(value))))
    return { ok: false, reason: "not-finite" };
  const factors = factorise(scales.map((_, column) => Float64Array.from(rows, (row) => row[column]!)));
  const sizes = Array.from(factors.diagonal, (value) => Math.abs(value));
  if (Math.min(...sizes) <= Number.EPSILON * Math.max(...sizes)) return { ok: false, reason: "not-independent" };

  const solution = refined(factors, rows, right);
  return described(input, { factors, scales, ...solution, weights });
};

interface Solved {
  readonly factors: Factors;
  readonly scales: readonly number[];
  readonly scaled: Float64Array;
  /** Residuals over their uncertainties. */
  readonly residuals: Float64Array;
  readonly weights: readonly number[];
}

const described = (input: LeastSquaresInput, solved: Solved): LeastSquaresFit | LeastSquaresFailure => {
  const { factors, scales, scaled, residuals, weights } = solved;
  const coefficients = scales.map((scale, column) => scaled[column]! / scale);
  const degreesOfFreedom = residuals.length - scales.length;
  const square = residuals.reduce((sum, value) => sum + value * value, 0);
  const variance = degreesOfFreedom > 0 ? square / degreesOfFreedom : 0;
  const unscaledCovariance = inverseNormal(factors, scales);
  const covariance =
    input.uncertainties === undefined
      ? unscaledCovariance.map((row) => row.map((value) => value * variance))
      : unscaledCovariance;
  if (!isFinite(coefficients) || !covariance.every(isFinite)) return { ok: false, reason: "not-finite" };
  return {
    ok: true,
    coefficients,
    covariance,
    unscaledCovariance,
    standardErrors: covariance.map((row, index) => Math.sqrt(row[index]!)),
    residuals: Array.from(residuals, (value, index) => value / weights[index]!),
    residualStandardDeviation: Math.sqrt(variance),
    degreesOfFreedom,
  };
};
