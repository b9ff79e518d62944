/**
 * How far a series moved over its own length, with its uncertainty: |b|·T + 2·s(b)·T of a straight line by least squares
 * (JCGM 100:2008, H.3 for the slope's standard uncertainty). Used where the log holds no evidence that the point had settled.
 */
export const driftOverWindow = (times: Float64Array, values: Float64Array): number => {
  const count = times.length;
  const middle = times.reduce((sum, time) => sum + time, 0) / count;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  let square = 0;
  let product = 0;
  for (let index = 0; index < count; index += 1) {
    square += (times[index]! - middle) ** 2;
    product += (times[index]! - middle) * (values[index]! - mean);
  }
  if (square === 0) return 0;
  const slope = product / square;
  let rest = 0;
  for (let index = 0; index < count; index += 1)
    rest += (values[index]! - mean - slope * (times[index]! - middle)) ** 2;
  const error = count > 2 ? Math.sqrt(rest / (count - 2) / square) : Math.abs(slope);
  return (Math.abs(slope) + 2 * error) * (times[count - 1]! - times[0]!);
};
