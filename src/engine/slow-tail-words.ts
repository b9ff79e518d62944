import type { SlowTail } from "#settling";

/** What a slow tail of an item means for the person at the bench: said on the screen, and in the log. */
export const slowTailWords = (tag: string, { timeConstant }: SlowTail): string =>
  `${tag} still follows with a slow tail of about ${Math.max(1, Math.round(timeConstant / 60))} minutes: its fit in the well is probably loose, or the source creeps. ` +
  "The wait and the stated remainder allow for it; a closer insert or deeper immersion would shorten both.";
