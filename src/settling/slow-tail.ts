import type { Block } from "./block.ts";
import { slopeMargin } from "./lengths.ts";
import { defaultSettling } from "./options.ts";

/** A slow exponential rest in the difference, as the minutes show it. */
export interface SlowTail {
  /** Most likely time constant, and the longest that the readings still allow, s. */
  readonly timeConstant: number;
  readonly longest: number;
  /** What is left of it at the end of the latest minute, K, by the most likely time constant. */
  readonly left: number;
}

const timeConstants = [60, 90, 130, 180, 240, 300, 360, 420, 500, 600, 720, 860, 1030, 1300];
/**
 * Differences of sums of squares, in units of the residual variance: above the first a time constant is ruled out (three
 * standard deviations), below the second it is still allowed (the 90 % point of χ² with one degree of freedom).
 */
const ruledOut = 9;
const allowed = 2.7;
/** The slowest tail that the ordinary bound holds by itself, s: the horizon with the margin of a slope that is seen. */
const ordinary = slopeMargin * defaultSettling.horizon;

interface Fit {
  readonly amplitude: number;
  readonly squares: number;
  readonly rho: number;
}

const fitTail = (minutes: readonly Block[], timeConstant: number): Fit => {
  const end = minutes.at(-1)!.time;
  const shapes = minutes.map(({ time }) => Math.exp((end - time) / timeConstant));
  const n = minutes.length;
  const meanShape = shapes.reduce((sum, shape) => sum + shape, 0) / n;
  const mean = minutes.reduce((sum, { difference }) => sum + difference, 0) / n;
  let cross = 0;
  let own = 0;
  for (let index = 0; index < n; index += 1) {
    cross += (shapes[index]! - meanShape) * (minutes[index]!.difference - mean);
    own += (shapes[index]! - meanShape) ** 2;
  }
  const amplitude = cross / own;
  let squares = 0;
  let products = 0;
  let before = 0;
  for (let index = 0; index < n; index += 1) {
    const residual = minutes[index]!.difference - mean - amplitude * (shapes[index]! - meanShape);
    squares += residual ** 2;
    if (index > 0) products += residual * before;
    before = residual;
  }
  return { amplitude, squares, rho: squares > 0 ? products / squares : 0 };
};

const tailIn = (minutes: readonly Block[]): SlowTail | null => {
  const n = minutes.length;
  const fits = timeConstants.map((timeConstant) => ({ timeConstant, ...fitTail(minutes, timeConstant) }));
  const best = fits.reduce((least, fit) => (fit.squares < least.squares ? fit : least));
  const rho = Math.max(0, best.rho + 1 / n);
  const variance = (best.squares / (n - 3)) * ((1 + rho) / (1 - Math.min(0.9, rho)));
  if (!(variance > 0)) return null;
  const worse = (fit: Fit): number => (fit.squares - best.squares) / variance;
  // Only what no ordinary tail explains is called slow. Where faster parts are still in the stretch, one curve through all
  // of it comes out faster than the slow part, never slower.
  if (fits.some((fit) => fit.timeConstant <= ordinary && worse(fit) < ruledOut)) return null;
  const longest = Math.max(...fits.filter((fit) => worse(fit) < allowed).map(({ timeConstant }) => timeConstant));
  return { timeConstant: best.timeConstant, longest, left: best.amplitude };
};

/** Stretches of the past that are looked at, in minutes, the shortest first: in it the faster parts have gone. */
const stretches = [12, 18, 27, 40];

/** A tail slower than the ordinary bound holds, where the minutes leave no doubt about it; else null. */
export const slowTailOf = (minutes: readonly Block[]): SlowTail | null => {
  for (const stretch of stretches) {
    if (minutes.length < stretch) return null;
    const tail = tailIn(minutes.slice(-stretch));
    if (tail !== null) return tail;
  }
  return null;
};
