/** How many single-letter changes, swaps of neighbours included, lead from one word to another. */
const distance = (from: string, to: string): number => {
  const rows = Array.from({ length: from.length + 1 }, (_, i) =>
    Array.from({ length: to.length + 1 }, (__, j) => (i === 0 ? j : j === 0 ? i : 0)),
  );
  for (let i = 1; i <= from.length; i += 1) {
    for (let j = 1; j <= to.length; j += 1) {
      const change = from[i - 1] === to[j - 1] ? 0 : 1;
      let least = Math.min(rows[i - 1]![j]! + 1, rows[i]![j - 1]! + 1, rows[i - 1]![j - 1]! + change);
      if (i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1])
        least = Math.min(least, rows[i - 2]![j - 2]! + 1);
      rows[i]![j] = least;
    }
  }
  return rows[from.length]![to.length]!;
};

const plain = (word: string): string => word.toLowerCase().replace(/[\s_-]/g, "");

/** The known word that was probably meant; undefined where none is near (about a third of its letters may differ). */
export const nearestWord = (word: string, known: readonly string[]): string | undefined => {
  const written = plain(word).slice(0, 64);
  const ranked = known
    .map((each) => ({ each, far: distance(written, plain(each)) }))
    .filter(({ each, far }) => far <= Math.floor((plain(each).length + 1) / 3))
    .toSorted((a, b) => a.far - b.far);
  return ranked[0]?.each;
};

/** ` Did you mean "x"?`, or nothing. */
export const suggestion = (word: string, known: readonly string[]): string => {
  const near = nearestWord(word, known);
  return near === undefined ? "" : ` Did you mean "${near}"?`;
};
