import type { Judgement, Obstacle } from "#settling";

const tooFew = "There are too few readings yet.";

const advice: Readonly<Record<Obstacle, (tag: string, judgement: Judgement) => string>> = {
  lag: (tag) =>
    `${tag} still trails the reference. A loose or shallow fit does that: check insert and immersion, or wait longer.`,
  creep: () => "The source still moves. Check insulation, draught and its control setting, and let it come to rest.",
  noise: (tag, { standardUncertainty }) =>
    `The readings of ${tag} scatter; its mean is known to ±${(2 * standardUncertainty).toPrecision(2)} K only. ` +
    "Switch the heater off for a minute and move the cable: if the scatter changes, look for an earth loop, a missing screen or a loose terminal.",
  resolution: (tag) =>
    `The last digit of ${tag} is coarse against what is wanted of the point. Choose a finer display, or a target that its digit allows.`,
  window: () => tooFew,
  rule: () =>
    "The written rule is not met yet. Its limits and how they stand are beside the settling picture and in the log.",
};

/** What keeps an item from being ready, and what to check; the largest term speaks. */
export const nameObstacle = (tag: string, judgement: Judgement | null): string => {
  const term = judgement?.inTheWay[0]?.term;
  return judgement === null || term === undefined ? tooFew : advice[term](tag, judgement);
};
