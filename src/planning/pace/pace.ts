import { figureAt, type Job, type Source, type TableFigure } from "#calibration";

/** How fast a source moves and comes to rest, and where these figures are from. */
export interface Pace {
  /** K a minute at a temperature, while the source is sent upwards. */
  readonly heating: TableFigure;
  /** K a minute at a temperature, while it is sent downwards. */
  readonly cooling: TableFigure;
  /** Time constant of its coming to rest at a set point, s. */
  readonly rest: number;
  /** Time constant of its cooling down with the output off, s. */
  readonly cooldown: number;
  /** How many times longer points of this source took to settle than the model says; 1 where nothing was learnt. */
  readonly restFactor: number;
  readonly origin: {
    readonly rates: PaceOrigin;
    readonly rest: PaceOrigin;
    /** Approaches of earlier runs behind it. */
    readonly approaches: number;
  };
  /** Share of a time by which it may come out shorter and longer. */
  readonly doubt: { readonly shorter: number; readonly longer: number };
}

/** `assumed`: for the class of the source (common practice, no source). */
export type PaceOrigin = "assumed" | "kit" | "earlier-runs";

const table = (...rows: readonly (readonly [number, number])[]): TableFigure =>
  rows.map(([temperature, value]) => ({ temperature, value }));

/**
 * What is assumed of a portable source of each class where its kit entry says nothing and no earlier run is known: rates in
 * K a minute, time constants in s (common practice, no source). Real ones differ by a factor of two either way.
 */
const assumed: Readonly<Record<Source["class"], Pick<Pace, "heating" | "cooling" | "rest" | "cooldown">>> = {
  bath: {
    heating: 12,
    cooling: table([-40, 2], [0, 5], [50, 7], [200, 9]),
    rest: 25,
    cooldown: 2100,
  },
  "dry-block": {
    heating: table([-30, 25], [200, 25], [400, 20], [700, 14]),
    cooling: table([-30, 2], [0, 3.5], [50, 6], [100, 7.5], [200, 10], [400, 16], [700, 24]),
    rest: 30,
    cooldown: 1800,
  },
  furnace: {
    heating: table([20, 25], [600, 18], [1200, 9]),
    cooling: table([20, 0.5], [100, 2], [300, 5], [600, 10], [1200, 22]),
    rest: 60,
    cooldown: 3600,
  },
};

/** Doubt of a time by where its figures are from: a class says little, a kit entry more, earlier runs of this source most. */
const doubtOf = (origin: PaceOrigin): Pace["doubt"] =>
  origin === "assumed"
    ? { shorter: 0.45, longer: 0.9 }
    : origin === "kit"
      ? { shorter: 0.3, longer: 0.5 }
      : { shorter: 0.25, longer: 0.4 };

export interface LearntPace {
  readonly heating?: TableFigure | undefined;
  readonly cooling?: TableFigure | undefined;
  readonly restFactor?: number | undefined;
  readonly approaches: number;
}

const leastDoubted = (origins: readonly PaceOrigin[]): PaceOrigin =>
  origins.includes("assumed") ? "assumed" : origins.includes("kit") ? "kit" : "earlier-runs";

/**
 * The pace of a source: from earlier runs of it where they say something, else from its kit entry, else as assumed for its
 * class (rule P10).
 */
export const paceOf = (source: Source, learnt: LearntPace | null = null): Pace => {
  const ofClass = assumed[source.class];
  const rates = source.rates ?? {};
  const choose = (way: "heating" | "cooling"): { value: TableFigure; origin: PaceOrigin } => {
    const seen = learnt?.[way];
    if (seen !== undefined) return { value: seen, origin: "earlier-runs" };
    const said = rates[way];
    return said === undefined ? { value: ofClass[way], origin: "assumed" } : { value: said, origin: "kit" };
  };
  const heating = choose("heating");
  const cooling = choose("cooling");
  const restOrigin: PaceOrigin =
    learnt?.restFactor !== undefined ? "earlier-runs" : rates.rest === undefined ? "assumed" : "kit";
  const rateOrigin = leastDoubted([heating.origin, cooling.origin]);
  return {
    heating: heating.value,
    cooling: cooling.value,
    rest: rates.rest === undefined ? ofClass.rest : rates.rest * 60,
    cooldown: rates.cooldown === undefined ? ofClass.cooldown : rates.cooldown * 60,
    restFactor: learnt?.restFactor ?? 1,
    origin: { rates: rateOrigin, rest: restOrigin, approaches: learnt?.approaches ?? 0 },
    doubt: doubtOf(leastDoubted([rateOrigin, restOrigin])),
  };
};

/** Pieces in which a travel is summed up: rates are straight lines over temperature, so a few dozen are plenty. */
const pieces = 48;
/** A rate below this is no rate: a table that reaches nought would make a travel endless, K a minute. */
const leastRate = 0.05;

/** Time for a source to travel from one temperature to another, s; nought where they are the same. */
export const travelTime = (
  { heating, cooling }: Pick<Pace, "heating" | "cooling">,
  from: number,
  to: number,
): number => {
  const rate = to > from ? heating : cooling;
  const step = (to - from) / pieces;
  let minutes = 0;
  for (let index = 0; index < pieces; index += 1) {
    minutes += Math.abs(step) / Math.max(leastRate, figureAt(rate, from + (index + 0.5) * step));
  }
  return 60 * minutes;
};

/** Rate of a source at a temperature on its way up or down, K/s. */
export const rateAt = (
  { heating, cooling }: Pick<Pace, "heating" | "cooling">,
  temperature: number,
  rising: boolean,
): number => Math.max(leastRate, figureAt(rising ? heating : cooling, temperature)) / 60;

/** In words, what a plan says of where its times are from. */
export const paceWords = (pace: Pace, { kit }: Pick<Job, "kit">): string => {
  const { rates, rest, approaches } = pace.origin;
  const { id, class: kind } = kit.source;
  if (rates === "assumed" && rest === "assumed")
    return `Times rest on figures assumed for the class "${kind}" (common practice): ${id} states no rates, and no earlier run of it is known.`;
  const words = {
    assumed: `assumed for the class "${kind}"`,
    kit: `of kit entry ${id}`,
    "earlier-runs": `of ${approaches} earlier approaches of ${id}`,
  };
  return rates === rest
    ? `Times rest on figures ${words[rates]}.`
    : `Times rest on rates ${words[rates]} and a coming to rest ${words[rest]}.`;
};
