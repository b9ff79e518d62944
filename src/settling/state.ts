import type { Block, OpenBlock } from "./block.ts";
import type { Judgement } from "./judgement.ts";
import { confirmationGap } from "./lengths.ts";
import type { SettlingOptions } from "./options.ts";
import { emptyWatch, type RuleWatch } from "./plain-rules.ts";
import type { Travel } from "./travel.ts";

/** How the bound came down, for the forecast. */
export interface BoundMark {
  readonly time: number;
  readonly ratio: number;
}

/**
 * Everything known about one approach: plain data, so that it can be stored, replayed and compared. Bounded in size
 * however long the wait.
 */
export interface SettlingState {
  readonly options: SettlingOptions;
  readonly begun: number | null;
  readonly blocks: readonly Block[];
  readonly open: OpenBlock | null;
  /** Means of a minute each, over a longer past than the blocks, in which a slow tail shows. */
  readonly minutes: readonly Block[];
  readonly openMinute: OpenBlock | null;
  readonly travel: Travel | null;
  /** Since when every judgement has been positive, s. */
  readonly readySince: number | null;
  /** Whether our own judgement holds; `ready` is what binds, the rules of a written procedure included. */
  readonly ownReady: boolean;
  readonly ready: boolean;
  readonly ruleWatch: RuleWatch | null;
  readonly latest: Judgement | null;
  readonly lastJudged: number | null;
  readonly marks: readonly BoundMark[];
  /** The latest forecast made while the source was on its way, and the first once it rested: what is learnt from afterwards. */
  readonly foretold: Foretold;
}

/** From when the source was expected to rest, and until when the wait was expected to last, before what was known corrected it; s. */
export interface Foretold {
  readonly way: { readonly time: number; readonly at: number } | null;
  readonly rest: { readonly time: number; readonly at: number } | null;
}

export const createSettling = (options: SettlingOptions): SettlingState => ({
  options,
  begun: null,
  blocks: [],
  open: null,
  minutes: [],
  openMinute: null,
  travel: null,
  readySince: null,
  ownReady: false,
  ready: false,
  ruleWatch: options.rules === undefined ? null : emptyWatch,
  latest: null,
  lastJudged: null,
  marks: [],
  foretold: { way: null, rest: null },
});

export const judgementIsDue = (state: SettlingState, time: number): boolean =>
  state.lastJudged === null || time - state.lastJudged >= confirmationGap - 1e-9;
