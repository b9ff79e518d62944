/**
 * Sum of a list with the rounding errors carried along (Neumaier's form of Kahan summation): as exact as if it had been
 * added in twice the precision, so long as no partial sum overflows. An empty list sums to 0.
 */
export const compensatedSum = (values: ArrayLike<number>): number => {
  let sum = 0;
  let lost = 0;
  for (let index = 0; index < values.length; index += 1) {
    const value = values[index]!;
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  return sum + lost;
};
