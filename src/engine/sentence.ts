import { forecastOf, type Obstacle } from "#settling";
import { nearEnough } from "./decide-answers.ts";
import { awaitsAdjustment } from "./decide-command.ts";
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
};

const minutes = (seconds: number): string => {
  const rounded = Math.max(1, Math.round(seconds / 60));
  return rounded === 1 ? "about a minute" : `about ${rounded} minutes`;
};

const settlingSentence = (state: EngineState, temperature: number): Sentence => {
  const waiting = state.job.items.filter((item) => state.settled[item.id] === undefined);
  const forecasts = waiting.flatMap((item) => {
    const settling = state.settling[item.id];
    const forecast = settling === undefined ? null : forecastOf(settling);
    return forecast === null ? [] : [forecast];
  });
  const first = state.settling[waiting[0]?.id ?? ""]?.latest?.inTheWay[0];
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (reference !== null && Math.abs(reference - temperature) > nearEnough(temperature)) {
    return { happening: `On the way to ${temperature} °C: ${Math.abs(reference - temperature).toFixed(0)} K to go.`, now: "Nothing to do." };
  }
  const happening = first === undefined ? `On the way to ${temperature} °C.` : `Settling at ${temperature} °C: ${reasons[first.term]}.`;
  const latest = forecasts.length === 0 ? null : Math.max(...forecasts.map(({ at }) => at));
  return {
    happening,
    now: latest === null ? "Nothing to do; how long it takes is not known yet." : `Nothing to do for ${minutes(latest - state.at)}.`,
  };
};

/** One sentence for the person at the bench, whatever the stage. */
export const sentenceOf = (state: EngineState): Sentence => {
  if (state.ended !== null) {
    const words = { completed: "All points are done.", stopped: "The run was stopped.", failed: "The run failed." };
    return { happening: `${words[state.ended.outcome]} The source is off.`, now: state.ended.outcome === "completed" ? "Judge the results." : "Judge what was measured, or start again." };
  }
  if (!state.begun) return { happening: "Everything is prepared.", now: "Check insertion and wiring, then start." };
  if (state.paused !== null) {
    const fault = state.paused.faulty ? state.faults.at(-1) : undefined;
    return { happening: fault === undefined ? `Paused: ${state.paused.reason}.` : fault.message, now: "Put it right, then resume; or repeat or skip the point." };
  }
  if (awaitsAdjustment(state)) return { happening: "As found is done.", now: "Adjust the item, then confirm." };
  const stop = currentStop(state);
  if (stop === undefined) return { happening: "Going on to the next point.", now: "Nothing to do." };
  if (state.measuring !== null) return { happening: `Measuring at ${stop.temperature} °C.`, now: "Keep hands and cables off." };
  return settlingSentence(state, stop.temperature);
};
