import { confirmationGap } from "./lengths.ts";
import type { KnownPace, KnownRatio } from "./pace.ts";
import type { SettlingState } from "./state.ts";

/** Newer approaches count as if there were no more than so many older ones. */
const memory = 6;
/** A ratio further off than this, either way, teaches no more than this. */
const furthest = Math.log(4);
const none: KnownRatio = { count: 0, mean: 0, squares: 0 };

const taught = (
  known: KnownRatio,
  foretold: { readonly time: number; readonly at: number } | null,
  ready: number,
): KnownRatio => {
  if (foretold === null || foretold.at <= foretold.time || ready <= foretold.time) return known;
  const ratio = Math.log((ready - foretold.time) / (foretold.at - foretold.time));
  const value = Math.min(furthest, Math.max(-furthest, ratio));
  const count = Math.min(memory, known.count) + 1;
  const mean = known.mean + (value - known.mean) / count;
  const kept = known.count === 0 ? 0 : known.squares * Math.min(1, memory / known.count);
  return { count, mean, squares: kept + (value - known.mean) * (value - mean) };
};

/** What is known once this approach is finished too; one that never got ready teaches nothing. */
export const learnPace = (known: KnownPace | undefined, state: SettlingState): KnownPace => {
  const before = known ?? { way: none, rest: none };
  const { ownReady, readySince, foretold } = state;
  if (!ownReady || readySince === null) return before;
  const ready = readySince + confirmationGap;
  return { way: taught(before.way, foretold.way, ready), rest: taught(before.rest, foretold.rest, ready) };
};

/** One finished approach counts for so much less than itself, because the next set point is another one. */
const shrinkage = 0.3;

/** Factor on the time left, and share of the usual doubt that remains. */
export const correctionBy = (known: KnownRatio | undefined): { readonly factor: number; readonly doubt: number } => {
  if (known === undefined || known.count === 0) return { factor: 1, doubt: 1 };
  const scatter = Math.sqrt((known.squares + shrinkage * 0.3 ** 2) / (known.count + shrinkage));
  return {
    factor: Math.exp((known.mean * known.count) / (known.count + shrinkage)),
    doubt: Math.min(1, Math.max(0.4, scatter / 0.3)),
  };
};
