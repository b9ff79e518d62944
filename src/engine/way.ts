import { limitsOf } from "#calibration";
import { setsByHand } from "./hand/hand-state.ts";
import { nothing, type Decision, type Effect } from "./inputs.ts";
import { sourceEntryOf } from "./source-contact.ts";
import { currentStop, type EngineState } from "./state.ts";
import type { SteppedWay } from "./stepped-way.ts";

/** A step is not smaller than this, K. */
const leastStep = 0.05;

const thousandths = (temperature: number): number => Math.round(temperature * 1000) / 1000;

const rampsItself = (state: EngineState): boolean => sourceEntryOf(state)?.["rampRate"] !== undefined;

/** The limit that holds the way to a point back, K/min; null where the source may go as fast as it can. */
export const rampLimit = ({ job }: Pick<EngineState, "job">): number | null => limitsOf(job).ramp?.value ?? null;

/** Where the set point begins its way in steps: at what the reference reads now. Null where no steps are needed. */
export const wayTo = (state: EngineState, temperature: number, at: number): SteppedWay | null => {
  const rate = rampLimit(state);
  const from = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  if (rate === null || rampsItself(state) || setsByHand(state.job)) return null;
  const begun = from ?? state.job.conditions.ambientTemperature.value;
  return { to: temperature, rate, sent: begun, at };
};

/** How the source is sent to a point within the ramp limit: by its own ramp, by the first of many steps, or at once. */
export const sendWithin = (state: EngineState, temperature: number, at: number): Effect[] => {
  if (setsByHand(state.job)) return [];
  const way = wayTo(state, temperature, at);
  if (way !== null) return [{ kind: "command-set-point", temperature: thousandths(way.sent) }];
  const rate = rampLimit(state);
  return [
    ...(rate === null ? [] : [{ kind: "set-ramp-rate" as const, rate }]),
    { kind: "command-set-point", temperature },
  ];
};

/** The next step of a way, where it is due. It is in the log before it is commanded. */
export const nextStepOfWay = (state: EngineState, at: number): Decision => {
  const { way } = state;
  const stop = currentStop(state);
  if (way === null || way.sent === way.to || state.paused !== null) return nothing;
  const sign = way.to > way.sent ? 1 : -1;
  const moved = way.sent + (sign * way.rate * (at - way.at)) / 60;
  const wanted = sign * moved >= sign * way.to ? way.to : thousandths(moved);
  if (wanted !== way.to && Math.abs(wanted - way.sent) < leastStep) return nothing;
  return {
    events: [
      {
        kind: "set-point-stepped",
        at,
        ...(stop === undefined ? {} : { pass: stop.pass, point: stop.point }),
        temperature: wanted,
      },
    ],
    effects: [{ kind: "command-set-point", temperature: wanted }],
  };
};
