import { createPlant, type PlantOptions } from "#bench";

/** What was done to the bench, in order; times on the run's clock, s. */
export type BenchDeed =
  | { readonly kind: "set-point"; readonly at: number; readonly temperature: number }
  | { readonly kind: "output"; readonly at: number; readonly on: boolean }
  | { readonly kind: "trim"; readonly at: number; readonly item: string; readonly zero: number; readonly span: number };

/** What the bench knows of an item's approach. */
export interface ApproachTruth {
  readonly oracle: number | null;
  readonly foresight: number | null;
  readonly soaks: Readonly<Record<number, { readonly wait: number; readonly missing: number }>>;
  /** Means over the window that was measured. */
  readonly steady: number;
  readonly missing: number;
  /** The item's true error at the temperature that the reference's well really had. */
  readonly truth: number;
}

export interface ApproachQuestion {
  readonly item: string;
  /** K. */
  readonly target: number;
  /** Window that was measured, s on the run's clock. */
  readonly window: { readonly from: number; readonly to: number };
}

export interface TruthOptions {
  readonly plant: Omit<PlantOptions, "noiseless">;
  /** What was done up to and with the set point in question. */
  readonly deeds: readonly BenchDeed[];
  readonly questions: readonly ApproachQuestion[];
  /** Length of the mean that must be within the target, s; and of the readings at a point, s. */
  readonly shortestWindow: number;
  readonly readingTime: number;
  /** ± K of the set point within which the source's display has arrived. */
  readonly band: number;
}

export const soakMinutes = [10, 20, 30] as const;

/** How often the twin is looked at, s; a whole number of the plant's steps. */
const lookEvery = 4;
/** So long must the mean have stayed within the target before nothing is believed to take it out again, s. */
const believedAfter = 900;
/** Nobody waits longer than this, s. */
const longest = 21_600;

interface Track {
  readonly question: ApproachQuestion;
  readonly missing: number[];
  steadySum: number;
  missingSum: number;
  truthSum: number;
  looks: number;
  /** Index of the latest look at which the trailing mean was outside the target. */
  lastOutside: number;
  windowSum: number;
}

const trackOf = (question: ApproachQuestion): Track => ({
  question,
  missing: [],
  steadySum: 0,
  missingSum: 0,
  truthSum: 0,
  looks: 0,
  lastOutside: -1,
  windowSum: 0,
});

const meanOf = (values: readonly number[], from: number, count: number): number => {
  let sum = 0;
  for (let index = from; index < from + count; index += 1) sum += values[index] ?? Number.NaN;
  return sum / count;
};

/** First index from which all means of `count` looks to come are within the target; null where the last one is not. */
const foresightOf = ({ missing, question }: Track, count: number): number | null => {
  for (let index = missing.length - count; index >= 0; index -= 1) {
    if (Math.abs(meanOf(missing, index, count)) <= question.target) continue;
    return index === missing.length - count ? null : index + 1;
  }
  return 0;
};

/**
 * Watches a twin of the bench, without noise and without anybody who measures, through one approach and on: the same
 * physics from the same seed, told the same at the same times. The truth comes from the plant alone, by no path that the
 * product takes. Definitions (docs/science/rehearsal.md):
 * - *missing*: indication less reference now, less what it would come to if medium and surroundings stayed as they are;
 * - *oracle*: earliest time from which the mean of what is missing, over the shortest window that the procedure allows
 *   and ending then, is and stays within the target;
 * - *foresight*: earliest time from which the mean over the readings to come is and stays within the target.
 */
export const approachTruth = (options: TruthOptions): readonly ApproachTruth[] => {
  const { deeds, questions, band } = options;
  const plant = createPlant({ ...options.plant, noiseless: true });
  for (const deed of deeds) {
    plant.advanceTo(deed.at);
    if (deed.kind === "set-point") plant.setPoint(deed.temperature);
    else if (deed.kind === "output") plant.switchOutput(deed.on);
    else plant.trim(deed.item, deed.zero, deed.span);
  }
  const begun = deeds.at(-1)!.at;
  const width = Math.max(1, Math.round(options.shortestWindow / lookEvery));
  const ahead = Math.max(1, Math.round(options.readingTime / lookEvery));
  const tracks = questions.map(trackOf);
  const measured = Math.max(...questions.map(({ window }) => window.to));
  const setPoint = plant.setPointNow();
  let arrived: number | null = null;

  const look = (track: Track, at: number): void => {
    const { question } = track;
    const difference = plant.undisturbed(question.item);
    const missing = difference === null ? Number.POSITIVE_INFINITY : difference.now - difference.atRest;
    track.missing.push(missing);
    const index = track.missing.length - 1;
    if (index + 1 < width || Math.abs(meanOf(track.missing, index + 1 - width, width)) > question.target)
      track.lastOutside = index;
    if (difference === null || at < question.window.from - lookEvery / 2 || at > question.window.to + lookEvery / 2)
      return;
    track.steadySum += difference.atRest;
    track.missingSum += missing;
    track.truthSum += plant.truth(question.item, plant.medium());
    track.looks += 1;
  };
  const enough = (at: number): boolean => {
    if (at - begun >= longest) return true;
    if (at < measured + options.shortestWindow) return false;
    if (arrived === null || at < arrived + 60 * Math.max(...soakMinutes) + options.readingTime + lookEvery)
      return false;
    return tracks.every(({ missing, lastOutside }) => (missing.length - 1 - lastOutside) * lookEvery >= believedAfter);
  };
  const controlNow = (): number => {
    const shown = plant.control("");
    return shown.kind === "value" ? shown.value : Number.NaN;
  };
  for (let at = begun + lookEvery; ; at += lookEvery) {
    plant.advanceTo(at);
    if (arrived === null && Math.abs(controlNow() - setPoint) <= band) arrived = at;
    for (const track of tracks) look(track, at);
    if (enough(at)) break;
  }
  const timeOf = (index: number): number => (index + 1) * lookEvery;

  return tracks.map((track): ApproachTruth => {
    const { missing, lastOutside, looks } = track;
    const foreseen = foresightOf(track, ahead);
    const soaks = Object.fromEntries(
      arrived === null
        ? []
        : soakMinutes.map((minutes) => {
            const wait = arrived! - begun + 60 * minutes;
            return [minutes, { wait, missing: meanOf(missing, Math.ceil(wait / lookEvery) - 1, ahead) }];
          }),
    );
    return {
      oracle: lastOutside === missing.length - 1 ? null : timeOf(lastOutside + 1),
      foresight: foreseen === null ? null : timeOf(foreseen),
      soaks,
      steady: track.steadySum / looks,
      missing: track.missingSum / looks,
      truth: track.truthSum / looks,
    };
  });
};
