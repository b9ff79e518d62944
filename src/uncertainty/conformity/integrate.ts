/** Abscissae and weights of the ten-point Gauss-Legendre rule on −1 to 1, by Newton's method on the Legendre polynomial. */
const legendreRule = (count: number): { readonly x: Float64Array; readonly w: Float64Array } => {
  const x = new Float64Array(count);
  const w = new Float64Array(count);
  for (let index = 0; index < count; index += 1) {
    let z = Math.cos((Math.PI * (index + 0.75)) / (count + 0.5));
    let slope = 1;
    for (let round = 0; round < 100; round += 1) {
      let [last, value] = [0, 1];
      for (let order = 0; order < count; order += 1) {
        [last, value] = [value, ((2 * order + 1) * z * value - order * last) / (order + 1)];
      }
      slope = (count * (z * value - last)) / (z * z - 1);
      const step = value / slope;
      z -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    x[index] = z;
    w[index] = 2 / ((1 - z * z) * slope * slope);
  }
  return { x, w };
};

const rule = legendreRule(10);

const panel = (f: (x: number) => number, low: number, high: number): number => {
  const [middle, half] = [(low + high) / 2, (high - low) / 2];
  let sum = 0;
  for (let index = 0; index < rule.x.length; index += 1) sum += rule.w[index]! * f(middle + half * rule.x[index]!);
  return half * sum;
};

const deepest = 40;

const refined = (
  f: (x: number) => number,
  low: number,
  high: number,
  whole: number,
  tolerance: number,
  depth: number,
): number => {
  const middle = (low + high) / 2;
  const [left, right] = [panel(f, low, middle), panel(f, middle, high)];
  if (Math.abs(left + right - whole) <= tolerance || depth >= deepest) return left + right;
  return (
    refined(f, low, middle, left, tolerance / 2, depth + 1) + refined(f, middle, high, right, tolerance / 2, depth + 1)
  );
};

/**
 * The integral of a smooth function over consecutive stretches between the rising `breaks`, each halved until two halves
 * agree with the whole. `tolerance` is absolute. Breaks belong where the function bends sharply.
 */
export const integrate = (f: (x: number) => number, breaks: readonly number[], tolerance = 1e-11): number => {
  let sum = 0;
  for (let index = 1; index < breaks.length; index += 1) {
    const [low, high] = [breaks[index - 1]!, breaks[index]!];
    if (high > low) sum += refined(f, low, high, panel(f, low, high), tolerance / breaks.length, 0);
  }
  return sum;
};
