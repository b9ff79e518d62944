import {
  forecast,
  readByHand,
  readingsByHand,
  type Item,
  type Job,
  type MeasuredPoint,
  type ResultBudgetLine,
  type TableFigure,
} from "#calibration";

export type EntryKind = "reference" | "readout" | "source" | "item" | "procedure";

export interface Limiting {
  readonly entry: EntryKind;
  /** Which one: the kit entry's or the item's identifier; the method's for the procedure. */
  readonly id: string;
  /** Its share of u², 0 to 1. */
  readonly share: number;
}

/** One change to the job, and what U of the point would become by it. */
export interface Improvement {
  readonly entry: EntryKind;
  readonly id: string;
  /** The budget line that it makes smaller. */
  readonly line: string;
  /** Expanded uncertainty at the point as it is and with the change, K. */
  readonly now: number;
  readonly improved: number;
  readonly words: string;
}

export interface PointPlace {
  readonly job: Job;
  readonly item: Item;
  readonly temperature: number;
  readonly day: string;
  readonly target: (job: Job, item: Item, temperature: number) => number;
}

const entryOfLine = (line: ResultBudgetLine): EntryKind => {
  if (line.id.endsWith(".readout") || line.id === "reference.resolution") return "readout";
  if (line.id.startsWith("reference.")) return "reference";
  if (line.id.startsWith("source.")) return "source";
  if (line.id === "settling.remainder" || line.id === "item.repeatability") return "procedure";
  return "item";
};

const idOf = ({ job, item }: PointPlace, entry: EntryKind): string =>
  entry === "item" ? item.id : entry === "procedure" ? job.procedure.method.identifier : job.kit[entry].id;

/** Whose lines make the largest share of u² at a point (rule P4). */
export const limitingEntry = (place: PointPlace, { budget }: MeasuredPoint): Limiting => {
  const shares = new Map<EntryKind, number>();
  for (const line of budget.lines) {
    const entry = entryOfLine(line);
    shares.set(entry, (shares.get(entry) ?? 0) + line.share);
  }
  const [entry, share] = [...shares].reduce((most, each) => (each[1] > most[1] ? each : most));
  return { entry, id: idOf(place, entry), share };
};

const half = (figure: TableFigure): TableFigure =>
  typeof figure === "number" ? figure / 2 : figure.map(({ temperature, value }) => ({ temperature, value: value / 2 }));

const kelvin = (value: number): string => `${Number(value.toPrecision(2))} K`;

interface Change {
  readonly job: Job;
  readonly words: string;
}

type Changer = (place: PointPlace, line: ResultBudgetLine) => Change | null;

const withReference = (job: Job, reference: Partial<Job["kit"]["reference"]>): Job => ({
  ...job,
  kit: { ...job.kit, reference: { ...job.kit.reference, ...reference } },
});
const withSource = (job: Job, source: Partial<Job["kit"]["source"]>): Job => ({
  ...job,
  kit: { ...job.kit, source: { ...job.kit.source, ...source } },
});

/** The half-width or U behind a line of limits, K: u·√3, or u·k. */
const limitsOf = (line: ResultBudgetLine): number => line.u * Math.abs(line.sensitivity) * Math.sqrt(3);

const halvedSource =
  (key: "axial" | "radial" | "loading", what: string): Changer =>
  ({ job }, line) => ({
    job: withSource(job, { [key]: half(job.kit.source[key]) }),
    words: `a source with ±${kelvin(limitsOf(line) / 2)} ${what} instead of ±${kelvin(limitsOf(line))}`,
  });

const halvedContribution: Changer = ({ job, item }, line) => {
  const key = Object.keys(item.contributions).find(
    (name) => `item.${name.replaceAll(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}` === line.id,
  ) as keyof Item["contributions"] | undefined;
  const figure = key === undefined ? undefined : item.contributions[key];
  if (key === undefined || figure === undefined) return null;
  const items = job.items.map((each) =>
    each.id === item.id ? { ...each, contributions: { ...each.contributions, [key]: half(figure) } } : each,
  );
  return {
    job: { ...job, items },
    words: `${item.tag} examined until its ${line.name.replace(/^Item, /, "")} is known to ±${kelvin(limitsOf(line) / 2)} instead of ±${kelvin(limitsOf(line))}`,
  };
};

const halvedAccuracy: Changer = ({ job }) => {
  const accuracy = job.kit.readout.accuracy.map((row) => ({
    ...row,
    percentOfReading: row.percentOfReading / 2,
    absolute: row.absolute / 2,
  }));
  return {
    job: { ...job, kit: { ...job.kit, readout: { ...job.kit.readout, accuracy } } },
    words: "a readout of half the error limits",
  };
};

const moreReadings = (job: Job): Change => {
  const { readings } = job.procedure;
  const count = 4 * readings.count;
  return {
    job: { ...job, procedure: { ...job.procedure, readings: { ...readings, count } } },
    words: `${count} readings at a point instead of ${readings.count}`,
  };
};

/** A person is asked for twice as many at most: more is no help that anybody gives. */
const moreByHand = (job: Job): Change => {
  const { count, interval } = readingsByHand(job);
  return {
    job: { ...job, procedure: { ...job.procedure, readingsByHand: { count: 2 * count, interval } } },
    words: `${2 * count} readings by hand at a point instead of ${count}`,
  };
};

const changers: Readonly<Record<string, Changer>> = {
  "reference.calibration": ({ job }, line) => ({
    job: withReference(job, {
      calibration: { ...job.kit.reference.calibration, uncertainty: half(job.kit.reference.calibration.uncertainty) },
    }),
    words: `a reference of U ${kelvin((line.u * job.kit.reference.calibration.k) / 2)} instead of ${kelvin(line.u * job.kit.reference.calibration.k)}`,
  }),
  "reference.drift": ({ job }, line) => ({
    job: withReference(job, { driftPerYear: job.kit.reference.driftPerYear / 2 }),
    words: `a reference calibrated lately or known to drift less: ±${kelvin(limitsOf(line) / 2)} since its calibration instead of ±${kelvin(limitsOf(line))}`,
  }),
  "reference.interpolation": ({ job }) => ({
    job: withReference(job, { interpolation: half(job.kit.reference.interpolation) }),
    words: "a reference calibrated at more points",
  }),
  "reference.self-heating": ({ job }) => ({
    job: withReference(job, { selfHeating: half(job.kit.reference.selfHeating) }),
    words: "half the self-heating of the reference, by a smaller current or a correction",
  }),
  "reference.readout": halvedAccuracy,
  "item.readout": halvedAccuracy,
  "source.axial": halvedSource("axial", "along its sensing zone"),
  "source.radial": halvedSource("radial", "between its wells"),
  "source.loading": halvedSource("loading", "of loading"),
  "item.junction": ({ job, item }, line) => {
    if (item.coldJunction === undefined) return null;
    const coldJunction = { ...item.coldJunction, halfWidth: item.coldJunction.halfWidth / 2 };
    const items = job.items.map((each) => (each.id === item.id ? { ...each, coldJunction } : each));
    return {
      job: { ...job, items },
      words: `the reference junction of ${item.tag} known twice as well (an ice point does it); it makes ±${kelvin(limitsOf(line))} now`,
    };
  },
  "item.repeatability": ({ job }) =>
    job.items.some((item) => readByHand(job, item)) ? moreByHand(job) : moreReadings(job),
  "settling.remainder": () => null,
};

/** The place with a settling target half as large: it is a wait, and no kit. */
const longerWait = (place: PointPlace): PointPlace => ({
  ...place,
  target: (job, item, temperature) => place.target(job, item, temperature) / 2,
});

const only = ({ job, item, temperature }: PointPlace): Job => ({
  ...job,
  items: job.items.filter(({ id }) => id === item.id),
  procedure: {
    ...job.procedure,
    points: job.procedure.ramp === undefined ? [{ temperature }] : job.procedure.points,
  },
});

/** U of one point by the evaluation itself; null where it cannot be evaluated. */
export const foreseenU = (place: PointPlace): number | null => {
  const { day, target } = place;
  const job = only(place);
  const [first] = forecast(job, { day, target: (item, temperature) => target(job, item, temperature) }).items;
  const own = first?.points.find(({ temperature }) => temperature === place.temperature) ?? first?.points[0];
  return own?.expectedU ?? null;
};

/** So many of the largest lines are tried. */
const linesTried = 5;

/**
 * What each of the largest lines would bring if its figure were halved, the most helpful first; every U is the evaluation's
 * own, on the changed job (rule P4). What cannot be changed, such as the item's own display, is not among them.
 */
export const improvements = (place: PointPlace, { budget }: MeasuredPoint): Improvement[] => {
  const largest = budget.lines
    .filter(({ share }) => share > 0.02)
    .toSorted((a, b) => b.share - a.share)
    .slice(0, linesTried);
  const seen = new Set<string>();
  return largest
    .flatMap((line): Improvement[] => {
      const entry = entryOfLine(line);
      const waits = line.id === "settling.remainder";
      const change = waits ? null : (changers[line.id] ?? halvedContribution)(place, line);
      const words = waits ? "a settling target half as large (a longer wait)" : change?.words;
      if (words === undefined || seen.has(words)) return [];
      seen.add(words);
      const improved = foreseenU(
        waits ? longerWait(place) : { ...place, job: change!.job, item: changedItem(change!.job, place.item) },
      );
      if (improved === null || improved >= budget.U) return [];
      return [{ entry, id: idOf(place, entry), line: line.id, now: budget.U, improved, words }];
    })
    .sort((a, b) => a.improved - b.improved);
};

const changedItem = (job: Job, item: Item): Item => job.items.find(({ id }) => id === item.id) ?? item;
