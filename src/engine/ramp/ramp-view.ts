import { expectedChanges, isClosed, isSwitch, type SwitchItem } from "#calibration";
import type { EngineState } from "../state.ts";
import type { RampProgress } from "./ramp-state.ts";

/** A switch's contact during a ramp: what it reads, what it is to do, and what it did. */
export interface ContactView {
  readonly item: string;
  readonly tag: string;
  /** Null until it has been read. */
  readonly closed: boolean | null;
  /** Where this ramp expects its change, °C, and whether it closes there. */
  readonly expected: number;
  readonly closes: boolean;
  /** Where the change is allowed, °C; null where no limits are agreed for it. */
  readonly allowed: { readonly lower: number; readonly upper: number } | null;
  readonly chattering: boolean;
  /** The reference at its change, °C, as far as the screen knows; null until it changed. */
  readonly changedAt: number | null;
  readonly changed: boolean;
}

/** The slow ramp of a switch as a screen shows it; °C, K/min, s. */
export interface RampView {
  readonly phase: "approach" | "reset" | "ramp" | "ended";
  readonly direction: "rising" | "falling";
  readonly from: number;
  readonly to: number;
  readonly rate: number;
  /** Set point of the ramp now; null before it began. */
  readonly setPoint: number | null;
  /** Share of the way from `from` to `to` that the set point has gone, 0 to 1. */
  readonly progress: number;
  /** When the ramp reaches its end at the latest; null before it began. */
  readonly endsBy: number | null;
  readonly contacts: readonly ContactView[];
}

const latestSignal = (state: EngineState, channel: string): number | undefined =>
  state.volatile.pending[channel]?.values.at(-1) ?? state.latest[channel]?.signal;

const contactView = (state: EngineState, ramp: RampProgress, item: SwitchItem): ContactView => {
  const signal = latestSignal(state, item.channel);
  const { expected, closed, nominal, limits } = expectedChanges(item)[ramp.direction];
  const watch = ramp.watches[item.id];
  const changed = ramp.changed[item.id];
  const left = watch !== undefined && (watch.otherSince !== null || watch.backSince !== null);
  return {
    item: item.id,
    tag: item.tag,
    closed: signal === undefined ? null : isClosed(signal),
    expected,
    closes: closed,
    allowed:
      limits === null || nominal === null ? null : { lower: nominal + limits.lower, upper: nominal + limits.upper },
    chattering: changed === undefined && left && (watch?.bounces ?? 0) > 0,
    changedAt: changed?.temperature ?? null,
    changed: changed !== undefined,
  };
};

/** By a source's own ramp the set point is where time has brought it. */
const setPointNow = ({ setPoint, to, rate, direction }: RampProgress, by: "steps" | "source", at: number) => {
  if (setPoint === null || by === "steps") return setPoint?.temperature ?? null;
  const sign = direction === "rising" ? 1 : -1;
  const moved = setPoint.temperature + (sign * rate * (at - setPoint.at)) / 60;
  return sign * moved > sign * to ? to : moved;
};

export const rampViewOf = (state: EngineState): RampView | null => {
  const { ramp } = state;
  if (ramp === null) return null;
  const { phase, direction, from, to, rate, begunAt } = ramp;
  const now = setPointNow(ramp, state.job.procedure.ramp?.by ?? "steps", state.at);
  return {
    phase,
    direction,
    from,
    to,
    rate,
    setPoint: now,
    progress: now === null ? 0 : Math.min(1, Math.max(0, (now - from) / (to - from))),
    endsBy: begunAt === null ? null : begunAt + (60 * Math.abs(to - from)) / rate,
    contacts: state.job.items.filter(isSwitch).map((item) => contactView(state, ramp, item)),
  };
};

const minutes = (seconds: number): string => {
  const rounded = Math.max(1, Math.round(seconds / 60));
  return rounded === 1 ? "about a minute" : `about ${rounded} minutes`;
};

const contactWords = ({ tag, closed }: ContactView): string =>
  closed === null ? `${tag} not read yet` : `${tag} is ${closed ? "closed" : "open"}`;

/** What is happening on the ramp, and what the person at the bench should do now. */
export const rampSentence = (state: EngineState): { readonly happening: string; readonly now: string } | null => {
  const view = rampViewOf(state);
  if (view === null) return null;
  const { phase, from, rate, direction, contacts, endsBy, setPoint } = view;
  if (phase === "approach") {
    const rested = state.ramp?.restedSince !== null;
    return {
      happening: rested
        ? `Resting at ${from} °C before the slow ramp.`
        : `On the way to ${from} °C, where the slow ramp begins.`,
      now: "Nothing to do; see that the contact's wires are on the right terminals.",
    };
  }
  if (phase === "reset") {
    return {
      happening: `Going past the other change first, to ${state.setPoint?.temperature ?? from} °C, so that the contact comes back.`,
      now: "Nothing to do.",
    };
  }
  const waiting = contacts.filter(({ changed }) => !changed);
  const chattering = waiting.find((contact) => contact.chattering);
  const left = endsBy === null ? 0 : endsBy - state.at;
  return {
    happening:
      chattering === undefined
        ? `Ramping ${direction} at ${rate} K/min, set point ${(setPoint ?? from).toFixed(2)} °C: ${waiting.map(contactWords).join(", ")}.`
        : `The contact of ${chattering.tag} is bouncing; it counts as changed once it stays.`,
    now: `Nothing to do for ${minutes(left)} at most; keep hands and cables off.`,
  };
};
