import { leavingTime, touchSafe, transportable } from "../pace/cooling.ts";
import { travelTime } from "../pace/pace.ts";
import { gatherBatches, type Batch, type DayJob } from "./batches.ts";

/** The day as it is asked for; minutes after midnight. */
export interface Day {
  readonly start: number;
  /** When everything must be packed; null where nothing is said. */
  readonly end: number | null;
  readonly pause: { readonly from: number; readonly minutes: number } | null;
}

export type EntryKind = "set-up" | "point" | "pause" | "cool" | "ice-check" | "transport" | "pack";

/** A line of the timetable; minutes after midnight, not rounded. */
export interface TimetableEntry {
  readonly kind: EntryKind;
  readonly from: number;
  readonly to: number;
  readonly words: string;
  readonly source: string | null;
  /** Place in `batches`; null for what belongs to none. */
  readonly batch: number | null;
  readonly temperature: number | null;
}

export interface LeftOut {
  readonly jobs: readonly string[];
  readonly tags: readonly string[];
  readonly words: string;
}

export interface Timetable {
  readonly batches: readonly Batch[];
  readonly entries: readonly TimetableEntry[];
  readonly finish: number;
  readonly leftOut: readonly LeftOut[];
  readonly assumptions: readonly string[];
}

/** Minutes for what is done by hand (common practice, no source). */
const settingUp = 10;
const packing = 10;
/** An ice bath is made and read in so many minutes: ten to fifteen are waited (ASTM E563, from memory). */
const iceCheck = 20;
/** Up to so many batches every order of them is weighed. */
const weighedUpTo = 6;

export const clockText = (minutes: number): string => {
  const whole = Math.round(minutes);
  const days = Math.floor(whole / 1440);
  const [hour, minute] = [Math.floor((whole % 1440) / 60), whole % 60].map((part) => String(part).padStart(2, "0"));
  return `${hour}:${minute}${days === 0 ? "" : ` +${days} d`}`;
};

/** A source after its last point: when that was read, and how hot it was then. */
interface Left {
  readonly place: number;
  readonly batch: Batch;
  readonly since: number;
  readonly temperature: number;
}

interface Draft {
  readonly entries: readonly TimetableEntry[];
  readonly finish: number;
}

const nobody = { source: null, batch: null, temperature: null };

/** The way from the last reading until a source may be carried away. */
const leaving = ({ place, since, temperature, batch }: Left): TimetableEntry[] => {
  const { touchSafe: touch, transport } = leavingTime(batch.pace, temperature, batch.ambient);
  const common = { source: batch.source, batch: place };
  const safe = since + touch / 60;
  const cold = since + transport / 60;
  const warms = temperature < batch.ambient;
  const entries: TimetableEntry[] = [];
  if (touch > 0)
    entries.push({
      ...common,
      kind: "cool",
      from: since,
      to: safe,
      temperature: touchSafe,
      words: `${batch.source} cools by itself to ${touchSafe} °C; touch nothing before`,
    });
  if (cold > safe)
    entries.push({
      ...common,
      kind: "transport",
      from: safe,
      to: cold,
      temperature: warms ? batch.ambient : transportable,
      words: warms
        ? `${batch.source} warms to the surroundings, so that it is packed dry`
        : `${batch.source} cools on to ${transportable} °C before it is carried`,
    });
  return entries;
};

/** When source and probes may be touched again. */
const safeFrom = (left: Left): number =>
  left.since + leavingTime(left.batch.pace, left.temperature, left.batch.ambient).touchSafe / 60;

const tagsOf = ({ items }: Batch): string => items.map(({ tag }) => tag).join(", ");

/** One person's way through the day: what is done when, and what waits for what. */
class Course {
  readonly entries: TimetableEntry[] = [];
  now: number;
  readonly #pause: Day["pause"];
  #paused = false;
  /** By source and by reference: where each was last. */
  readonly sources = new Map<string, Left>();
  readonly references = new Map<string, Left>();

  constructor({ start, pause }: Day) {
    this.now = start;
    this.#pause = pause;
  }

  /** A piece of work of so many minutes. */
  spend(minutes: number, entry: Omit<TimetableEntry, "from" | "to">): void {
    this.entries.push({ ...entry, from: this.now, to: this.now + minutes });
    this.now += minutes;
  }

  pauseIfDue(): void {
    if (this.#pause !== null && this.now >= this.#pause.from) this.#takePause();
  }

  #takePause(): void {
    if (this.#paused || this.#pause === null) return;
    this.#paused = true;
    this.spend(this.#pause.minutes, {
      ...nobody,
      kind: "pause",
      words: "Break; a source holds its set point meanwhile as the site allows, and nothing new is heated",
    });
  }

  /** Nothing to do until then; a break that falls into it costs nothing. */
  waitUntil(time: number): void {
    if (!this.#paused && this.#pause !== null && Math.max(this.now, this.#pause.from) < time) {
      this.now = Math.max(this.now, this.#pause.from);
      this.#takePause();
    }
    this.now = Math.max(this.now, time);
  }

  /** Probes are changed, and a reference is taken along, only when where they were may be touched. */
  waitFor(left: Left | undefined): void {
    if (left !== undefined) this.waitUntil(safeFrom(left));
  }

  measure(batch: Batch, place: number): void {
    this.pauseIfDue();
    const before = this.sources.get(batch.source);
    this.waitFor(before);
    this.waitFor(this.references.get(batch.reference));
    const at = { source: batch.source, batch: place };
    if (before !== undefined) this.entries.push(...leaving(before).filter(({ kind }) => kind === "cool"));
    this.spend(settingUp, {
      ...at,
      kind: "set-up",
      temperature: null,
      words: `Put ${tagsOf(batch)} and the reference into ${batch.source}`,
    });
    const begun = before === undefined ? batch.ambient : Math.min(before.temperature, touchSafe);
    for (const [index, { temperature, travel, settleAndRead }] of batch.legs.entries()) {
      this.pauseIfDue();
      // Another start than the surroundings changes the first travel alone.
      const first = index === 0 && begun !== batch.ambient ? travelTime(batch.pace, begun, temperature) : travel;
      this.spend((first + settleAndRead) / 60, {
        ...at,
        kind: "point",
        temperature,
        words: `${temperature} °C: ${tagsOf(batch)}`,
      });
    }
    const left = { place, batch, since: this.now, temperature: batch.legs.at(-1)!.temperature };
    this.sources.set(batch.source, left);
    this.references.set(batch.reference, left);
  }

  /** Ice checks of the references while sources cool on, then packing when all are cold. */
  finish(): Draft {
    this.pauseIfDue();
    const ends = [...this.sources.values()].flatMap(leaving);
    for (const [reference, left] of [...this.references].sort(([, a], [, b]) => safeFrom(a) - safeFrom(b))) {
      this.waitFor(left);
      this.spend(iceCheck, {
        ...nobody,
        kind: "ice-check",
        temperature: 0,
        words: `Ice check of ${reference}, while sources cool`,
      });
    }
    this.waitUntil(Math.max(...ends.map(({ to }) => to)));
    this.spend(packing, { ...nobody, kind: "pack", words: "Pack, label, hand back" });
    const entries = [...this.entries, ...ends].toSorted((a, b) => a.from - b.from || a.to - b.to);
    return { entries, finish: this.now };
  }
}

/** The batches one after the other, as one person does them; sources that are done cool beside the work. */
const lay = (batches: readonly Batch[], order: readonly number[], day: Day): Draft => {
  const course = new Course(day);
  for (const place of order) course.measure(batches[place]!, place);
  return course.finish();
};

const permutations = (places: readonly number[]): number[][] =>
  places.length <= 1
    ? [[...places]]
    : places.flatMap((place, index) => permutations(places.toSpliced(index, 1)).map((rest) => [place, ...rest]));

/** For many batches: the hottest first on each source, so that its long cooling lies beside the other work. */
const usualOrder = (batches: readonly Batch[]): number[] =>
  batches.map((_, index) => index).toSorted((a, b) => batches[b]!.hottest - batches[a]!.hottest || a - b);

const leastDraft = (batches: readonly Batch[], places: readonly number[], day: Day): Draft => {
  const orders =
    places.length <= weighedUpTo
      ? permutations(places)
      : [usualOrder(batches).filter((place) => places.includes(place))];
  return orders
    .map((order) => lay(batches, order, day))
    .reduce((one, other) => (other.finish < one.finish - 1e-9 ? other : one));
};

/** Batches left out until the rest fits, with least work lost: of the smallest number of them, the ones with fewest items. */
const fitting = (batches: readonly Batch[], day: Day): { readonly draft: Draft; readonly left: readonly number[] } => {
  if (batches.length === 0) return { draft: { entries: [], finish: day.start }, left: [] };
  let places = batches.map((_, index) => index);
  const left: number[] = [];
  for (;;) {
    const draft = leastDraft(batches, places, day);
    if (day.end === null || draft.finish <= day.end || places.length === 1) {
      const none = day.end !== null && draft.finish > day.end;
      return none ? { draft: { entries: [], finish: day.start }, left: [...left, ...places] } : { draft, left };
    }
    const without = places
      .map((place) => ({
        place,
        finish: leastDraft(
          batches,
          places.filter((other) => other !== place),
          day,
        ).finish,
        items: batches[place]!.items.length,
      }))
      .sort(
        (a, b) =>
          Number(b.finish <= day.end!) - Number(a.finish <= day.end!) || a.items - b.items || a.finish - b.finish,
      );
    const [gone] = without;
    left.push(gone!.place);
    places = places.filter((place) => place !== gone!.place);
  }
};

/**
 * The day over one job or several: batches by source and wells, the order of batches that ends soonest, the ice check in the
 * cooling down, the pause, and what does not fit between start and end (rules P14 to P16). Times are expectations, not limits.
 */
export const planDay = (jobs: readonly DayJob[], day: Day): Timetable => {
  const batches = gatherBatches(jobs);
  const { draft, left } = fitting(batches, day);
  const leftOut = left.map((place): LeftOut => {
    const batch = batches[place]!;
    const alone = lay(batches, [place], day).finish;
    const tags = batch.items.map(({ tag }) => tag);
    return {
      jobs: batch.jobs,
      tags,
      words:
        day.end !== null && alone > day.end
          ? `${tags.join(", ")} does not fit in this day even alone: it would end at ${clockText(alone)}, and the day ends at ${clockText(day.end)}. Begin earlier, or leave points out.`
          : `${tags.join(", ")} does not fit in this day with the others. Give it another day.`,
    };
  });
  return { batches, entries: draft.entries, finish: draft.finish, leftOut, assumptions: assumptionsOf(batches, jobs) };
};

const assumptionsOf = (batches: readonly Batch[], jobs: readonly DayJob[]): string[] => {
  const unknown = [
    ...new Set(jobs.filter(({ job }) => job.kit.source.wells === undefined).map(({ job }) => job.kit.source.id)),
  ].sort();
  const second = jobs
    .filter(({ job }) => job.procedure.passes.length > 1)
    .map(({ job }) => job.job)
    .sort();
  return [
    `Setting up takes ${settingUp} min a batch, packing ${packing} min, an ice check ${iceCheck} min (common practice).`,
    `Probes are touched below ${touchSafe} °C and sources carried below ${transportable} °C; site rules come first.`,
    ...(batches.some(({ jobs: joined }) => joined.length > 1)
      ? ["Jobs that are done together need one job file with all their items."]
      : []),
    ...(unknown.length > 0 && jobs.length > 1
      ? [`The wells of ${unknown.join(", ")} are not stated (source.wells), so jobs there are not done together.`]
      : []),
    ...(second.length > 0 ? [`An adjustment and its second pass (${second.join(", ")}) are not in these times.`] : []),
  ];
};
