/**
 * The lower triangle L with L·Lᵀ = the given symmetric matrix (rows of a square list). A matrix with directions of no
 * spread at all (fully correlated quantities) is allowed: those columns are zero. Undefined when the matrix is not
 * symmetric or not positive semi-definite within `slack` of its largest diagonal element, or not finite.
 */
export const choleskyFactor = (matrix: readonly (readonly number[])[], slack = 1e-12): number[][] | undefined => {
  const size = matrix.length;
  const largest = matrix.reduce((most, row, index) => Math.max(most, Math.abs(row[index] ?? Number.NaN)), 0);
  const floor = slack * largest;
  const lower = matrix.map(() => Array.from({ length: size }, () => 0));
  for (let column = 0; column < size; column += 1) {
    for (let row = column; row < size; row += 1) {
      const value = matrix[row]?.[column] ?? Number.NaN;
      if (!Number.isFinite(value) || !(Math.abs(value - (matrix[column]?.[row] ?? Number.NaN)) <= floor))
        return undefined;
      let rest = value;
      for (let inner = 0; inner < column; inner += 1) rest -= lower[row]![inner]! * lower[column]![inner]!;
      if (row === column) {
        if (rest < -floor) return undefined;
        lower[row]![column] = rest > floor ? Math.sqrt(rest) : 0;
      } else {
        const pivot = lower[column]![column]!;
        if (pivot === 0 && Math.abs(rest) > Math.sqrt(floor * largest)) return undefined;
        lower[row]![column] = pivot === 0 ? 0 : rest / pivot;
      }
    }
  }
  return lower;
};
