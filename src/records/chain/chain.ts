import { createHash } from "node:crypto";

/** What the first entry of a chain has in place of a predecessor's hash. */
export const chainStart = "0".repeat(64);

/** SHA-256, in hexadecimal, of the predecessor's hash followed by the text. A changed predecessor changes all that follow. */
export const link = (predecessor: string, text: string): string =>
  createHash("sha256").update(predecessor, "ascii").update(text, "utf8").digest("hex");

export interface ChainedText {
  readonly n: number;
  readonly text: string;
  readonly hash: string;
}

/** What holds of a chain: all of it, or `entries` entries before the first break. */
export type ChainCheck =
  | { readonly whole: true; readonly entries: number; readonly head: string }
  | { readonly whole: false; readonly entries: number; readonly at: number; readonly reason: string };

/**
 * Follows a chain from its start. The first entry that is missing, out of place or changed ends it, and is named; whatever
 * comes before it holds.
 */
export const checkChain = (entries: Iterable<ChainedText>): ChainCheck => {
  let predecessor = chainStart;
  let expected = 0;
  for (const { n, text, hash } of entries) {
    if (n !== expected) {
      return {
        whole: false,
        entries: expected,
        at: expected,
        reason: `Entry ${expected} is missing or out of place; entry ${n} stands there.`,
      };
    }
    if (link(predecessor, text) !== hash) {
      return {
        whole: false,
        entries: expected,
        at: n,
        reason: `Entry ${n} was changed: its text does not give its hash, or an entry before it was exchanged.`,
      };
    }
    predecessor = hash;
    expected += 1;
  }
  return { whole: true, entries: expected, head: predecessor };
};
