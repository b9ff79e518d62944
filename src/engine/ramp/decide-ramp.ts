import { expectedChanges, isClosed, isSwitch, type EventDraft, type SwitchItem } from "#calibration";
import { advance, pauseWithFault } from "../advance.ts";
import { foresee } from "../foresee.ts";
import { nothing, type Decision } from "../inputs.ts";
import { nearEnough } from "../near-enough.ts";
import { limitsCrossed } from "../readiness.ts";
import { currentStop, type EngineState, type PlannedStop } from "../state.ts";
import { rampLimit, sendWithin } from "../way.ts";
import { plannedSweep, type RampProgress } from "./ramp-state.ts";

/** How long the ramp waits at its end for a contact that trails, s. */
const linger = 300;

const thousandths = (temperature: number): number => Math.round(temperature * 1000) / 1000;

const switchesOf = (state: EngineState): readonly SwitchItem[] => state.job.items.filter(isSwitch);

/** Switches whose contact is not as it has to be before a ramp in a direction; null while one has not been read. */
const inWrongState = (state: EngineState, direction: "rising" | "falling"): readonly SwitchItem[] | null => {
  const wrong: SwitchItem[] = [];
  for (const item of switchesOf(state)) {
    const latest = state.latest[item.channel];
    if (latest === undefined) return null;
    if (isClosed(latest.signal) === expectedChanges(item)[direction].closed) wrong.push(item);
  }
  return wrong;
};

const stateWord = (closed: boolean): string => (closed ? "closed" : "open");

const command = (state: EngineState, at: number, stop: PlannedStop, temperature: number): Decision => {
  const [crossed] = limitsCrossed(state.job, temperature);
  if (crossed !== undefined)
    return { events: pauseWithFault(at, { code: "run.limit", message: crossed.message }), effects: [] };
  const bySource = state.job.procedure.ramp?.by === "source";
  return {
    events: [{ kind: "set-point-commanded", at, pass: stop.pass, point: stop.point, temperature }],
    effects: [
      ...(bySource && rampLimit(state) === null ? [{ kind: "set-ramp-rate" as const, rate: null }] : []),
      ...sendWithin(state, temperature, at),
    ],
  };
};

/** Where the ramp the other way ends: beyond that, every contact has come back. */
const resetTemperature = (state: EngineState, ramp: RampProgress): number | undefined =>
  state.job.procedure.points
    .map((_, point) => plannedSweep(state.job, point))
    .find((sweep) => sweep !== undefined && sweep.direction !== ramp.direction)?.to;

const wrongState = (state: EngineState, ramp: RampProgress, at: number, item: SwitchItem): Decision => {
  const { closed } = expectedChanges(item)[ramp.direction];
  const reference = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  const where = reference === null ? "" : ` at ${reference.toFixed(1)} °C`;
  const why =
    ramp.phase === "reset"
      ? `although it was taken past its other change. It is stuck, or the contact is of the other form (sensor.onRise), or the wires are on another contact.`
      : `before the slow ramp has begun: it changes earlier than the ramp begins. Begin further away (procedure.ramp.before).`;
  const message = `The contact of ${item.tag} is ${stateWord(closed)}${where}, ${why} Look at it, then resume; or skip the ramp.`;
  return { events: pauseWithFault(at, { code: "switch.wrong-state", message, item: item.id }), effects: [] };
};

const tooLong = (state: EngineState, ramp: RampProgress, at: number): Decision => {
  const minutes = Math.round(state.job.procedure.settling.longestWait / 60);
  const message =
    `The source has not come to rest near ${ramp.phase === "reset" ? state.setPoint!.temperature : ramp.from} °C within ${minutes} minutes, so the slow ramp cannot begin. ` +
    "Check that the source heats or cools, then resume; or skip the ramp.";
  return { events: pauseWithFault(at, { code: "settling.too-slow", message }), effects: [] };
};

/** A source whose own sensor is off begins its ramp off by as much: the end is moved alike, so that the reference gets there. */
const endOf = (state: EngineState, ramp: RampProgress): number => {
  const { temperatures } = state.reference;
  const last = temperatures.slice(-10);
  const mean = last.reduce((sum, value) => sum + value, 0) / last.length;
  const most = nearEnough(ramp.from);
  const offset = Math.min(most, Math.max(-most, ramp.from - mean));
  const wanted = thousandths(ramp.to + offset);
  return limitsCrossed(state.job, wanted).length === 0 ? wanted : ramp.to;
};

const beginRamp = (state: EngineState, ramp: RampProgress, stop: PlannedStop, at: number): Decision => {
  const by = state.job.procedure.ramp!.by;
  const to = endOf(state, ramp);
  return {
    events: [{ kind: "ramp-begun", at, pass: stop.pass, point: stop.point, from: ramp.from, to, rate: ramp.rate, by }],
    effects:
      by === "source"
        ? [
            { kind: "set-ramp-rate", rate: ramp.rate },
            { kind: "command-set-point", temperature: to },
          ]
        : [],
  };
};

/** On the way to the beginning: wait until the source rests and has rested, look at the contacts, then begin. */
const decideApproach = (state: EngineState, ramp: RampProgress, stop: PlannedStop, at: number): Decision => {
  if (state.setPoint !== null && at - state.setPoint.at > state.job.procedure.settling.longestWait)
    return tooLong(state, ramp, at);
  if (ramp.restedSince === null || at - ramp.restedSince < state.job.procedure.ramp!.soak) return nothing;
  const wrong = inWrongState(state, ramp.direction);
  if (wrong === null) return nothing;
  const [first] = wrong;
  if (ramp.phase === "reset")
    return first === undefined ? command(state, at, stop, ramp.from) : wrongState(state, ramp, at, first);
  if (first === undefined) return beginRamp(state, ramp, stop, at);
  const back = resetTemperature(state, ramp);
  return back === undefined || ramp.resets > 0 ? wrongState(state, ramp, at, first) : command(state, at, stop, back);
};

const changesSeen = (ramp: RampProgress, stop: PlannedStop, at: number): EventDraft[] =>
  Object.entries(ramp.watches).flatMap(([item, { change }]) =>
    change === null || ramp.changed[item] !== undefined
      ? []
      : [{ kind: "contact-changed" as const, at, pass: stop.pass, point: stop.point, item, ...change }],
  );

/** The set point of a ramp by steps, where it stands now; undefined while the next step is not due. */
const nextStep = ({ setPoint, to, rate, direction }: RampProgress, step: number, at: number): number | undefined => {
  if (setPoint === null || setPoint.temperature === to) return undefined;
  const sign = direction === "rising" ? 1 : -1;
  const moved = setPoint.temperature + (sign * rate * (at - setPoint.at)) / 60;
  const wanted = sign * moved >= sign * to ? to : thousandths(moved);
  return wanted === to || Math.abs(wanted - setPoint.temperature) >= step - 1e-9 ? wanted : undefined;
};

const endedAt = (ramp: RampProgress, by: "steps" | "source"): number | null => {
  if (by === "steps") return ramp.atEndSince;
  return ramp.begunAt === null ? null : ramp.begunAt + (60 * Math.abs(ramp.to - ramp.from)) / ramp.rate;
};

const noChange = (state: EngineState, ramp: RampProgress, stop: PlannedStop, at: number): Decision => {
  const without = switchesOf(state).filter(({ id }) => ramp.changed[id] === undefined);
  const reached = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
  const words = without
    .map(({ tag, channel }) => `${tag} stayed ${stateWord(isClosed(state.latest[channel]?.signal ?? 0))}`)
    .join(" and ");
  const message =
    `${words} from ${ramp.from} °C to ${reached === null ? `${ramp.to} °C` : `${reached.toFixed(1)} °C`}, ${ramp.direction}. ` +
    "Check its wiring and that it is inserted, then resume to ramp again; or skip the ramp, and the result will say that it did not change.";
  return {
    events: [
      {
        kind: "ramp-ended",
        at,
        pass: stop.pass,
        point: stop.point,
        unchanged: without.map(({ id }) => id),
        reached,
      },
      ...pauseWithFault(at, {
        code: "switch.no-change",
        message,
        ...(without.length === 1 ? { item: without[0]!.id } : {}),
      }),
    ],
    effects: [],
  };
};

const decideMoving = (before: EngineState, stop: PlannedStop, at: number): Decision => {
  const seen = changesSeen(before.ramp!, stop, at);
  const state = foresee(before, seen);
  const ramp = state.ramp!;
  if (switchesOf(state).every(({ id }) => ramp.changed[id] !== undefined)) {
    const reached = state.latest[state.job.kit.reference.channel]?.temperature ?? null;
    const ended: EventDraft = { kind: "ramp-ended", at, pass: stop.pass, point: stop.point, unchanged: [], reached };
    const next = advance(foresee(state, [ended]), at);
    return { events: [...seen, ended, ...next.events], effects: next.effects };
  }
  const { by, step } = state.job.procedure.ramp!;
  const end = endedAt(ramp, by);
  if (end !== null && at - end >= linger) {
    const ended = noChange(state, ramp, stop, at);
    return { events: [...seen, ...ended.events], effects: ended.effects };
  }
  const wanted = by === "source" ? undefined : nextStep(ramp, step, at);
  if (wanted === undefined) return { events: seen, effects: [] };
  return {
    events: [...seen, { kind: "ramp-stepped", at, pass: stop.pass, point: stop.point, temperature: wanted }],
    effects: [{ kind: "command-set-point", temperature: wanted }],
  };
};

/**
 * What the readings up to now mean for the ramp of a switch. `state.ramp` is there and the run is not paused. Events first: a
 * step of the set point is in the log before it is commanded, and a change is in the log with the moments between
 * which it lies. Nothing is made up for a contact that did not change.
 */
export const decideRamp = (state: EngineState, at: number): Decision => {
  const stop = currentStop(state);
  const { ramp } = state;
  if (stop === undefined || ramp === null) return nothing;
  if (ramp.broken) return advance(state, at);
  return ramp.phase === "ramp" ? decideMoving(state, stop, at) : decideApproach(state, ramp, stop, at);
};
