import { forecastOf, type Obstacle, type SettlingState } from "#settling";
import type { ChannelUnit } from "#quantity";
import { readingsByHand, toleranceAt, type Item } from "#calibration";
import { attentionUntil } from "./attention.ts";
import { presentCautions } from "./cautions.ts";
import { lostWords } from "./source-contact.ts";
import type { LostSource } from "./lost-source.ts";
import { allowedCommands, awaitsAdjustment } from "./decide-command.ts";
import { rampViewOf, type RampView } from "./ramp/ramp-view.ts";
import { handLookOf, handViewOf, type HandView } from "./hand/hand-view.ts";
import { isHandItem } from "./hand/hand-state.ts";
import { roundsDone } from "./hand/judge-by-hand.ts";
import { finishOf, type Finish } from "./finish.ts";
import { sentenceOf, type Sentence } from "./sentence.ts";
import {
  checkChannelOf,
  currentStop,
  sourceChannelOf,
  type EngineState,
  type LatestReading,
  type PlannedStop,
} from "./state.ts";
import { awaitsTyping, isChecking } from "./decide-check.ts";
import type { Advice } from "./advice.ts";
import type { RunCommandName } from "./inputs.ts";

export interface LatestView {
  readonly at: number;
  readonly signal: number;
  readonly unit: ChannelUnit;
  readonly temperature: number | null;
}

export interface StopView {
  readonly pass: "as-found" | "as-left";
  readonly point: number;
  readonly temperature: number;
  /** From which side it is to be reached, where the procedure says; whether it was added. */
  readonly direction: "rising" | "falling" | null;
  readonly added: boolean;
  readonly status:
    | "ahead"
    | "approaching"
    | "settling"
    | "measuring"
    | "measured"
    | "not-measured"
    | "skipped"
    | "trouble";
  readonly share: number;
  readonly reason: string | null;
  readonly errors: readonly { readonly item: string; readonly error: number; readonly U: number | null }[];
}

export interface SettlingLook {
  readonly item: string;
  readonly target: number;
  readonly estimate: number | null;
  readonly bound: number | null;
  readonly ready: boolean;
  readonly inTheWay: readonly { readonly term: Obstacle; readonly share: number }[];
  readonly forecast: { readonly at: number; readonly from: number; readonly to: number } | null;
}

/** The closing check of the reference as a screen shows it; K where nothing else is said. */
export interface CheckView {
  readonly kind: "ice-point" | "check-thermometer";
  readonly step: "placing" | "settling" | "reading" | "typing";
  /** °C. */
  readonly temperature: number;
  readonly limit: number;
  /** Reference less what it should read. */
  readonly difference: number | null;
  readonly bound: number | null;
  readonly target: number;
}

/** What a screen shows of a run; made from the state alone. */
export interface EngineView {
  readonly run: string;
  readonly job: string;
  readonly title: string;
  readonly opened: string;
  readonly at: number;
  readonly rehearsal: boolean;
  readonly stage:
    | "ready"
    | "approaching"
    | "settling"
    | "measuring"
    | "adjusting"
    | "checking"
    | "paused"
    | "cooling"
    | "ended";
  readonly outcome: "completed" | "stopped" | "failed" | null;
  readonly pass: "as-found" | "as-left" | null;
  readonly point: number | null;
  readonly setPoint: number | null;
  readonly pointStarted: number | null;
  readonly route: readonly StopView[];
  readonly sentence: Sentence;
  readonly reference: LatestView | null;
  readonly source: LatestView | null;
  readonly items: readonly {
    readonly item: string;
    readonly tag: string;
    readonly latest: LatestView | null;
    readonly error: number | null;
    readonly tolerance: { readonly lower: number; readonly upper: number } | null;
  }[];
  readonly settling: readonly SettlingLook[];
  readonly readings: { readonly taken: number; readonly wanted: number } | null;
  /** When all points will be done, with an interval of about 80 %; null while nobody can say. */
  readonly finish: Finish | null;
  /** The slow ramp of a switch, while the run is at one. */
  readonly ramp: RampView | null;
  /** The closing check while it is under way; null before and after. */
  readonly check: CheckView | null;
  /** How the source's output was last switched. */
  readonly output: boolean;
  /** Contact with the heat source was lost: how it was left; null while it answers. */
  readonly contact: (LostSource & { readonly words: string }) | null;
  /** When the source is switched off because nobody has touched the run, s; null where there is no such limit. */
  readonly attention: { readonly until: number } | null;
  /** What is read and set by hand; null where nothing is. */
  readonly hand: HandView | null;
  /** What is advised while the run waits for an adjustment; null otherwise. */
  readonly adjustment: readonly Advice[] | null;
  readonly onBreak: { readonly hold: boolean; readonly until: number | null } | null;
  readonly commands: readonly RunCommandName[];
  readonly cautions: readonly string[];
  readonly faults: readonly { readonly at: number; readonly code: string; readonly message: string }[];
}

const stageOf = (state: EngineState): EngineView["stage"] => {
  if (state.ended !== null) return "ended";
  if (!state.begun) return "ready";
  if (state.paused !== null) return "paused";
  if (awaitsAdjustment(state)) return "adjusting";
  if (state.measuring !== null) return "measuring";
  if (isChecking(state)) return "checking";
  if (state.hand !== null && state.hand.begunAt !== null) return "measuring";
  if (state.ramp !== null) return state.ramp.phase === "ramp" ? "measuring" : "approaching";
  return state.job.items.some((item) => state.settling[item.id]?.latest != null) ? "settling" : "approaching";
};

/** How much of the way to readiness is won: the bound counted in doublings, from the first look to the target. */
const shareWon = (settling: SettlingState | undefined): number => {
  if (settling === undefined || settling.latest === null) return 0;
  if (settling.ready) return 1;
  const start = Math.log(Math.max(2, ...settling.marks.map((mark) => mark.ratio)));
  return Math.min(0.98, Math.max(0, 1 - Math.log(Math.max(1, settling.latest.ratio)) / start));
};

const stopView = (state: EngineState, stop: PlannedStop, stage: EngineView["stage"]): StopView => {
  const errors = Object.entries(stop.errors).map(([item, error]) => ({ item, error, U: null }));
  const { pass, point, temperature, reason, direction, added } = stop;
  const base = { pass, point, temperature, direction, added, reason, errors };
  if (stop.flagged)
    return { ...base, reason: "measured with kit that was replaced; repeat it", status: "trouble", share: 1 };
  if (state.ended !== null && (stop.status === "ahead" || stop.status === "current")) {
    return { ...base, status: "not-measured", share: 0 };
  }
  if (stop.status !== "current") {
    return { ...base, status: stop.status, share: stop.status === "measured" ? 1 : 0 };
  }
  if (state.ramp !== null && stage !== "paused")
    return {
      ...base,
      status: stage === "measuring" ? "measuring" : "approaching",
      share: rampViewOf(state)?.progress ?? 0,
    };
  const share = Math.min(
    ...state.job.items.map((item) =>
      state.settled[item.id] === undefined && !stop.done.includes(item.id) ? shareWon(state.settling[item.id]) : 1,
    ),
  );
  if (stage === "paused" && state.paused?.faulty === true) return { ...base, status: "trouble", share };
  const status = stage === "measuring" ? "measuring" : stage === "approaching" ? "approaching" : "settling";
  return { ...base, status, share };
};

/** A reading that still waits for the log, as a temperature: shown at once, reported only when it is logged. */
const waitingReading = (state: EngineState, channel: string): LatestReading | null => {
  const waiting = state.volatile.pending[channel];
  const signal = waiting?.values.at(-1);
  if (waiting === undefined || signal === undefined) return null;
  const time = waiting.times.at(-1)!;
  if (channel === state.job.kit.reference.channel) {
    const converted = state.converter.reference(signal);
    return { time, signal, temperature: converted.ok ? converted.value : null };
  }
  const item = state.job.items.find((candidate) => candidate.channel === channel);
  if (item === undefined)
    return { time, signal, temperature: state.job.bench.channels[channel]?.unit === "°C" ? signal : null };
  const junctionChannel = item.coldJunction?.kind === "channel" ? item.coldJunction.channel : null;
  const junction =
    junctionChannel === null
      ? undefined
      : (waitingReading(state, junctionChannel) ?? state.latest[junctionChannel])?.signal;
  const converted = state.converter.item(item.id, signal, junction);
  return { time, signal, temperature: converted.ok ? converted.value : null };
};

const latestView = (state: EngineState, channel: string | null): LatestView | null => {
  const latest = channel === null ? undefined : (waitingReading(state, channel) ?? state.latest[channel]);
  if (latest === undefined || channel === null) return null;
  return {
    at: latest.time,
    signal: latest.signal,
    unit: state.job.bench.channels[channel]!.unit,
    temperature: latest.temperature,
  };
};

const settlingLook = (state: EngineState, item: Item): SettlingLook[] => {
  if (isHandItem(state.job, item.id)) return currentStop(state) === undefined ? [] : [handLookOf(state, item)];
  const settling = state.settling[item.id];
  if (settling === undefined || currentStop(state) === undefined) return [];
  const { latest } = settling;
  return [
    {
      item: item.id,
      target: settling.options.target,
      estimate: latest?.estimate ?? null,
      bound: latest?.bound ?? null,
      ready: state.settled[item.id] !== undefined || settling.ready,
      inTheWay: latest?.inTheWay ?? [{ term: "window", share: 1 }],
      forecast: forecastOf(settling),
    },
  ];
};

const itemView = (state: EngineState, item: Item, reference: LatestView | null): EngineView["items"][number] => {
  const latest = latestView(state, item.channel);
  // In an ice point, or on its way there, the reference says nothing of an item in the source.
  const together = state.referencePlace !== "ice-point";
  const paired = together && latest?.temperature != null && reference?.temperature != null;
  const temperature = currentStop(state)?.temperature ?? reference?.temperature ?? null;
  const tolerance = temperature === null ? null : toleranceAt(item.tolerance, item, temperature);
  return {
    item: item.id,
    tag: item.tag,
    latest,
    error: paired ? latest.temperature! - reference.temperature! : null,
    tolerance:
      tolerance !== null && tolerance.ok ? { lower: tolerance.value.lower, upper: tolerance.value.upper } : null,
  };
};

const readingsOf = (state: EngineState): EngineView["readings"] => {
  if (state.hand !== null && state.hand.begunAt !== null) {
    const { count } = readingsByHand(state.job);
    return { taken: Math.min(roundsDone(state, state.hand), count), wanted: count };
  }
  if (state.measuring === null) return null;
  const { counts, starts } = state.measuring;
  const waiting = ({ id, channel }: Item): number =>
    state.volatile.pending[channel]?.times.filter((time) => time > starts[id]!).length ?? 0;
  const read = state.job.items.filter(({ id }) => starts[id] !== undefined);
  const taken = Math.min(...read.map((item) => (counts[item.id] ?? 0) + waiting(item)));
  const wanted = state.job.procedure.readings.count;
  return { taken: Math.min(taken, wanted), wanted };
};

const checkView = (state: EngineState, reference: LatestView | null): CheckView | null => {
  const plan = state.job.procedure.closingCheck;
  const { check } = state;
  if (plan === undefined || plan.kind === "first-point" || check === null || !isChecking(state)) return null;
  const wired = checkChannelOf(state.job);
  const standard = wired === null ? check.temperature : (latestView(state, wired)?.temperature ?? null);
  const { latest } = check.settling;
  const now = reference?.temperature ?? null;
  return {
    kind: plan.kind,
    step:
      check.placedAt === null
        ? "placing"
        : check.settledAt === null
          ? "settling"
          : awaitsTyping(state)
            ? "typing"
            : "reading",
    temperature: check.temperature,
    limit: plan.limit,
    difference: check.placedAt === null || now === null || standard === null ? null : now - standard,
    bound: latest?.bound ?? null,
    target: check.settling.options.target,
  };
};

const attentionOf = (state: EngineState): EngineView["attention"] => {
  const until = attentionUntil(state);
  return until === null ? null : { until };
};

/** The whole view of a run at its latest event. */
export const viewOf = (state: EngineState): EngineView => {
  const stage = stageOf(state);
  const stop = currentStop(state);
  const reference = latestView(state, state.job.kit.reference.channel);
  return {
    run: state.opened.run,
    job: state.job.job,
    title: state.job.title,
    opened: state.opened.opened,
    at: state.at,
    rehearsal: state.job.rehearsal || state.opened.seed !== null,
    stage,
    outcome: state.ended?.outcome ?? null,
    pass: stop?.pass ?? null,
    point: stop?.point ?? null,
    setPoint: state.setPoint?.temperature ?? null,
    pointStarted: state.setPoint?.at ?? null,
    route: state.stops.map((each) => stopView(state, each, stage)),
    sentence: sentenceOf(state),
    reference,
    source: latestView(state, sourceChannelOf(state.job)),
    items: state.job.items.map((item) => itemView(state, item, reference)),
    settling: state.ramp !== null ? [] : state.job.items.flatMap((item) => settlingLook(state, item)),
    readings: readingsOf(state),
    finish: finishOf(state),
    ramp: rampViewOf(state),
    check: checkView(state, reference),
    output: state.output,
    contact: state.contact === null ? null : { ...state.contact, words: lostWords(state.contact) },
    attention: attentionOf(state),
    hand: handViewOf(state),
    adjustment: stage === "adjusting" && state.volatile.advised.length > 0 ? state.volatile.advised : null,
    onBreak: state.onBreak === null ? null : { hold: state.onBreak.hold, until: state.onBreak.until },
    commands: allowedCommands(state),
    cautions: presentCautions(state),
    faults: state.faults.map(({ at, code, message }) => ({ at, code, message })),
  };
};
