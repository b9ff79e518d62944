import { seededGenerator } from "#numerics";

/** Lines of one range; a mutant counts where it lies wholly inside one. */
const height = 12;

/**
 * Ranges `path:first-last` of a file, each drawn with the probability `share`. The same seed draws the same ranges, file by
 * file, whatever else is drawn.
 */
export const sampledRanges = (path: string, lines: number, share: number, seed: number): readonly string[] => {
  const chance = seededGenerator(seed).fork(path);
  return Array.from({ length: Math.ceil(lines / height) }, (_, index) => index * height + 1)
    .filter(() => chance.next() < share)
    .map((first) => `${path}:${first}-${first + height - 1}`);
};

/**
 * Half the width of the 95 % interval for the share of noticed mutants in a room, from drawn ranges (a ratio estimate over
 * clusters: W. G. Cochran, Sampling Techniques, 1977, sections 6.4 and 9A; from memory). `clusters` holds, for each range,
 * how many mutants there were and how many were noticed.
 */
export const halfWidth = (
  clusters: readonly { readonly all: number; readonly noticed: number }[],
  share: number,
): number => {
  const m = clusters.length;
  const all = clusters.reduce((sum, cluster) => sum + cluster.all, 0);
  const ratio = clusters.reduce((sum, cluster) => sum + cluster.noticed, 0) / all;
  const square = clusters.reduce((sum, cluster) => sum + (cluster.noticed - ratio * cluster.all) ** 2, 0);
  return (1.96 * Math.sqrt((1 - share) * (m / (m - 1)) * square)) / all;
};

export const rangeOf = (line: number): number => Math.floor((line - 1) / height);
