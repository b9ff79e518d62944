import { forecastOf, type Obstacle } from "#settling";
import { nearEnough } from "./near-enough.ts";
import { awaitsPlacing, awaitsTyping, isChecking, isCoolToMove } from "./decide-check.ts";
import { awaitsAdjustment } from "./decide-command.ts";
import { handSentence } from "./hand/hand-view.ts";
import { setsByHand } from "./hand/hand-state.ts";
import { rampSentence } from "./ramp/ramp-view.ts";
import { slowTailWords } from "./slow-tail-words.ts";
import { lostWords } from "./source-contact.ts";
import { currentStop, type EngineState } from "./state.ts";

/** What is happening, and what the person at the bench should do now. */
export interface Sentence {
  readonly happening: string;
  readonly now: string;
}

const reasons: Readonly<Record<Obstacle, string>> = {
  lag: "the item still trails the reference",
  creep: "the source still creeps",
  noise: "the readings scatter",
  resolution: "the display's last digit is coarse",
  window: "there are too few readings yet",
  rule: "the written rule is not met yet",
};

const minutes = (seconds: number): string => {
  const rounded = Math.max(1, Math.round(seconds / 60));
  return rounded === 1 ? "about a minute" : `about ${rounded} minutes`;
};

/** What to do while it settles: mostly nothing, for how long, and what a slow tail is about. */
const waitWords = (state: EngineState): string => {
  const waiting = state.job.items.filter((item) => state.settling[item.id]?.ready !== true);
  const forecasts = waiting.flatMap((item) => {
    const settling = state.settling[item.id];
    const forecast = settling === undefined ? null : forecastOf(settling);
    return forecast === null ? [] : [forecast.at];
  });
  // Readings wait up to a block's length for the log; a moment that has passed meanwhile is not counted down below a minute.
  const wait =
    forecasts.length === 0
      ? "Nothing to do; how long it takes is not known yet."
      : `Nothing to do for ${minutes(Math.max(...forecasts) - state.at)}.`;
  const tails = waiting.flatMap((item) => {
    const tail = state.settling[item.id]?.latest?.slowTail ?? null;
    return tail === null ? [] : [slowTailWords(item.tag, tail)];
  });
  return [wait, ...tails].join(" ");
};

const settlingSentence = (state: EngineState, temperature: number): Sentence => {
  const slowest = state.job.items.find((item) => state.settling[item.id]?.ready !== true);
  const first = state.settling[slowest?.id ?? ""]?.latest?.inTheWay[0];
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  const now = waitWords(state);
  if (reference !== null && Math.abs(reference - temperature) > nearEnough(temperature)) {
    return {
      happening: `On the way to ${temperature} °C: ${Math.abs(reference - temperature).toFixed(0)} K to go.`,
      now,
    };
  }
  return {
    happening:
      first === undefined
        ? `On the way to ${temperature} °C.`
        : `Settling at ${temperature} °C: ${reasons[first.term]}.`,
    now,
  };
};

const adjustSentence = (state: EngineState): Sentence => {
  const loaded = state.volatile.advised.some(({ coefficients }) => coefficients !== undefined);
  return {
    happening: "As found is done.",
    now: loaded ? "Enter the new coefficients, then confirm." : "Adjust the item, then confirm.",
  };
};

const clockWords = (seconds: number): string => minutes(Math.max(0, seconds));

/** A pause of its own kind: a break, with what the source does meanwhile. */
const breakSentence = (state: EngineState): Sentence | null => {
  const { onBreak } = state;
  if (onBreak === null) return null;
  if (!onBreak.hold || onBreak.until === null)
    return {
      happening: "A break; the source is off and cools.",
      now: "Resume when you are back; the point is approached anew.",
    };
  return {
    happening: `A break; the source holds ${state.setPoint?.temperature ?? ""} °C for ${clockWords(onBreak.until - state.at)} more, then it is switched off.`,
    now: "Resume when you are back.",
  };
};

const pausedSentence = (state: EngineState): Sentence => {
  const fault = state.paused?.faulty === true ? state.faults.at(-1) : undefined;
  if (fault?.code === "kit.check-failed") {
    const again =
      state.job.procedure.closingCheck?.kind === "first-point" ? "Repeat the first point" : "Resume to check once more";
    return {
      happening: fault.message,
      now: `${again}, or replace the reference and repeat the points; or let it stand, with a reason.`,
    };
  }
  return {
    happening: fault === undefined ? `Paused: ${state.paused?.reason ?? ""}.` : fault.message,
    now: "Put it right, then resume; or repeat or skip the point.",
  };
};

/** The closing check: what to do with the reference, and what is waited for. */
const checkSentence = (state: EngineState): Sentence => {
  const plan = state.job.procedure.closingCheck;
  const ice = plan?.kind === "ice-point";
  if (awaitsPlacing(state)) {
    const temperature = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
    if (!isCoolToMove(state))
      return {
        happening: `Cooling for the closing check: the reference is at ${temperature?.toFixed(0) ?? "–"} °C.`,
        now: "Prepare the ice point. Leave the reference where it is until it is below 50 °C.",
      };
    return ice
      ? {
          happening: "Closing check of the reference.",
          now: "Put it into the ice point, as deep as it is used, then confirm.",
        }
      : {
          happening: "Closing check of the reference.",
          now: "Put the check thermometer beside it, equally deep, then confirm.",
        };
  }
  if (awaitsTyping(state))
    return {
      happening: "The reference is steady beside the check thermometer.",
      now: "Type what the check thermometer shows.",
    };
  return {
    happening: ice ? "The reference settles in the ice point." : "The reference settles beside the check thermometer.",
    now: "Nothing to do; keep hands and cables off.",
  };
};

/** One sentence for the person at the bench, whatever the stage. */
export const sentenceOf = (state: EngineState): Sentence => {
  if (state.ended !== null) {
    const words = { completed: "All points are done.", stopped: "The run was stopped.", failed: "The run failed." };
    if (state.sourceInDoubt)
      return {
        happening: `${words[state.ended.outcome]} ${state.faults.at(-1)?.message ?? ""}`,
        now: "Make sure that the source is off, and stay with it until it is.",
      };
    if (setsByHand(state.job) && state.output)
      return {
        happening: words[state.ended.outcome],
        now: "Switch the source off at its own switch, and let it cool before anything is moved.",
      };
    return {
      happening: `${words[state.ended.outcome]}${state.switched ? " The source is off." : ""}`,
      now: state.ended.outcome === "completed" ? "Judge the results." : "Judge what was measured, or start again.",
    };
  }
  if (!state.begun) return { happening: "Everything is prepared.", now: "Check insertion and wiring, then start." };
  if (state.contact !== null && state.paused !== null)
    return {
      happening: `Contact with the heat source is lost. ${lostWords(state.contact)}`,
      now: "When it answers again, resume: it is asked how it stands before anything is sent.",
    };
  if (state.paused !== null) return breakSentence(state) ?? pausedSentence(state);
  if (awaitsAdjustment(state)) return adjustSentence(state);
  if (isChecking(state)) return checkSentence(state);
  const byHand = handSentence(state);
  if (byHand !== null) return byHand;
  const ramping = rampSentence(state);
  if (ramping !== null) return ramping;
  const stop = currentStop(state);
  if (stop === undefined) return { happening: "Going on to the next point.", now: "Nothing to do." };
  if (state.measuring !== null)
    return { happening: `Measuring at ${stop.temperature} °C.`, now: "Keep hands and cables off." };
  return settlingSentence(state, stop.temperature);
};
