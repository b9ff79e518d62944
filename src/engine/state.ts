import { displayRead, isTyped, wiredChannels } from "#calibration";
import type { Direction, Job, JobConverter, Pass, RunOpened, SettlingEvidence } from "#calibration";
import type { Advice } from "./advice.ts";
import type { RampProgress } from "./ramp/ramp-state.ts";
import type { HandState } from "./hand/hand.ts";
import type { LostSource } from "./lost-source.ts";
import type { CheckState } from "./state-check.ts";
import type { SteppedWay } from "./stepped-way.ts";
import type { KnownPace, SettlingState } from "#settling";
import type { ApproachTrack } from "#diagnosis";

export type StopStatus = "ahead" | "current" | "measured" | "skipped";

/** A point of a pass, in the order of the run. */
export interface PlannedStop {
  readonly pass: Pass;
  readonly point: number;
  readonly temperature: number;
  readonly status: StopStatus;
  readonly reason: string | null;
  /** Mean of indication − reference in the measured window, by item, K. */
  readonly errors: Readonly<Record<string, number>>;
  /** Items measured here already, where each is measured as it becomes ready. */
  readonly done: readonly string[];
  readonly direction: Direction | null;
  /** Added to those of the procedure. */
  readonly added: boolean;
  /** Measured with a kit entry that was replaced because it was not to be trusted. */
  readonly flagged: boolean;
}

export interface LatestReading {
  readonly time: number;
  readonly signal: number;
  /** °C; null where the signal gives no temperature. */
  readonly temperature: number | null;
}

/** A short stretch of the reference, so that an item's reading can be paired with the reference at its own moment. */
export interface ReferenceStretch {
  readonly times: readonly number[];
  readonly temperatures: readonly number[];
}

/** What has been read since the point was held to be settled: of all items from one moment on, or of each from its own. */
export interface Measuring {
  /** Start of each item that is being measured, s. */
  readonly starts: Readonly<Record<string, number>>;
  readonly counts: Readonly<Record<string, number>>;
  readonly sums: Readonly<Record<string, number>>;
  readonly firsts: Readonly<Record<string, number>>;
  readonly lasts: Readonly<Record<string, number>>;
}

export interface SeenFault {
  readonly at: number;
  readonly code: string;
  readonly message: string;
  readonly item: string | null;
}

/**
 * All that is known of a run, made from its log by `evolve` and by nothing else. `volatile` is the exception, and is kept
 * apart: readings that are not in the log yet, and instruments' troubles in a row. Nothing in it is ever reported as taken.
 */
export interface EngineState {
  readonly opened: RunOpened;
  readonly job: Job;
  readonly converter: JobConverter;
  readonly at: number;
  readonly begun: boolean;
  readonly output: boolean;
  /** Whether this run ever switched a source: one of readings recorded elsewhere cannot say how it was left. */
  readonly switched: boolean;
  readonly stops: readonly PlannedStop[];
  readonly begunPasses: readonly Pass[];
  readonly setPoint: { readonly temperature: number; readonly at: number } | null;
  /** The set point moved in steps, where a limit holds the way back and the source has no ramp of its own. */
  readonly way: SteppedWay | null;
  readonly settling: Readonly<Record<string, SettlingState>>;
  readonly settled: Readonly<Record<string, SettlingEvidence>>;
  readonly tracks: Readonly<Record<string, ApproachTrack>>;
  readonly measuring: Measuring | null;
  /** The slow ramp of a switch, while the run is at one. */
  readonly ramp: RampProgress | null;
  /** What is read and set by hand; null where nothing is. */
  readonly hand: HandState | null;
  readonly latest: Readonly<Record<string, LatestReading>>;
  readonly reference: ReferenceStretch;
  /** The same of each item. */
  readonly itemStretches: Readonly<Record<string, ReferenceStretch>>;
  readonly adjusted: readonly string[];
  readonly adjustmentDecided: boolean;
  readonly paused: {
    readonly at: number;
    readonly reason: string;
    readonly by: string;
    readonly faulty: boolean;
  } | null;
  readonly faults: readonly SeenFault[];
  /** A break: the run is paused, and the source holds until a moment or is off. */
  readonly onBreak: { readonly at: number; readonly hold: boolean; readonly until: number | null } | null;
  readonly check: CheckState | null;
  /** Passes whose check was left out by a person; `run` for the check at the end. */
  readonly skippedChecks: readonly (Pass | "run")[];
  /** Where the reference was put last. */
  readonly referencePlace: "source" | "ice-point" | "beside-check-thermometer";
  readonly ended: { readonly outcome: "completed" | "stopped" | "failed"; readonly at: number } | null;
  /** The source did not answer to being switched off at the end. */
  /** Contact with the source was lost and is not back yet. */
  readonly contact: LostSource | null;
  readonly sourceInDoubt: boolean;
  readonly coolBelow: number | null;
  readonly learnt: Learnt;
  readonly volatile: Volatile;
}

/** What the points that are done taught about the time that points take: for forecasts alone, never for a decision. */
export interface Learnt {
  readonly pace: Readonly<Record<string, KnownPace>>;
  /** Of the points done: how far the source had to go, K, and how long it took until the point was measured, s. */
  readonly points: readonly { readonly travel: number; readonly seconds: number }[];
  /** Where the reference was when the present set point was commanded, °C. */
  readonly from: number | null;
}

export interface PendingChannel {
  readonly times: readonly number[];
  readonly values: readonly number[];
  readonly wire: readonly string[];
}

export interface Volatile {
  readonly pending: Readonly<Record<string, PendingChannel>>;
  readonly pendingSince: number | null;
  readonly troubles: Readonly<Record<string, number>>;
  /** Adjustments advised and not yet made, while a person makes them by hand. */
  readonly advised: readonly Advice[];
  /** The reference is to be put elsewhere by hand: the bench cannot do it, and a person was told. */
  readonly placing: boolean;
  /** How often in a row a channel has read beyond a limit. */
  readonly beyond: Readonly<Record<string, number>>;
  /** When somebody last touched the run, s; null before anybody has. */
  readonly attendedAt: number | null;
}

/** The name under which the engine itself writes in the log. */
export const engineName = "engine";

export const noVolatile: Volatile = {
  pending: {},
  pendingSince: null,
  troubles: {},
  advised: [],
  placing: false,
  beyond: {},
  attendedAt: null,
};

/** The stop that the run is at: the current one, or the first that is still ahead. */
export const currentStop = (state: EngineState): PlannedStop | undefined =>
  state.stops.find((stop) => stop.status === "current");

export const nextStop = (state: EngineState): PlannedStop | undefined =>
  state.stops.find((stop) => stop.status === "ahead" || stop.status === "current");

/** Channels that instruments read in the run, the reference first so that items can be paired with it. */
export const channelsOf = (job: Job): readonly string[] => {
  const junctions = job.items.flatMap((item) =>
    item.coldJunction?.kind === "channel" ? [item.coldJunction.channel] : [],
  );
  const source = sourceChannelOf(job);
  const check = job.procedure.closingCheck;
  const checked = check?.kind === "check-thermometer" && check.channel !== undefined ? [check.channel] : [];
  return [
    ...new Set([
      job.kit.reference.channel,
      ...junctions,
      ...(source === null ? [] : [source]),
      ...checked,
      ...job.items.map((item) => item.channel),
    ]),
  ].filter((channel) => !isTyped(job.bench, channel));
};

/** The channel on which the heat source tells its own temperature, if the bench has one. */
export const sourceChannelOf = (job: Job): string | null => {
  const sources = new Set(job.bench.instruments.filter(({ role }) => role === "source").map(({ id }) => id));
  const wired = Object.entries(wiredChannels(job.bench)).find(([, { instrument }]) => sources.has(instrument));
  if (wired !== undefined) return wired[0];
  const typed = Object.keys(job.bench.channels).filter((name) => isTyped(job.bench, name));
  return typed.find((name) => displayRead(job, name) === "source") ?? null;
};

/** Whether each item is measured as it becomes ready, or all at one moment. */
export const measuresEach = (job: Job): boolean => job.procedure.items === "each" && job.items.length > 1;

/** The channel of the check thermometer; null where it is typed by hand, or there is none. */
export const checkChannelOf = ({ procedure: { closingCheck } }: Job): string | null =>
  closingCheck?.kind === "check-thermometer" ? (closingCheck.channel ?? null) : null;

/** Readings that a state holds: the stretches that decisions look back at, and what waits for the log. */
export const readingsHeld = ({ reference, itemStretches, settling, volatile }: EngineState): number => {
  const lengths = [
    reference.times.length,
    ...Object.values(itemStretches).map(({ times }) => times.length),
    ...Object.values(settling).map(({ blocks, minutes, marks }) => blocks.length + minutes.length + marks.length),
    ...Object.values(volatile.pending).map(({ times }) => times.length),
  ];
  return lengths.reduce((sum, length) => sum + length, 0);
};
