import type { FaultValue } from "#fault";
import type { Direction, EventDraft, Pass } from "#calibration";
import { advance } from "./advance.ts";
import { foresee } from "./foresee.ts";
import { nothing, type Decision, type RunCommand } from "./inputs.ts";
import { limitsCrossed } from "./readiness.ts";
import { currentStop, nextStop, type EngineState, type PlannedStop } from "./state.ts";

const refuse = (message: string, code: FaultValue["code"] = "run.not-allowed"): Decision => ({
  ...nothing,
  refusal: { code, message },
});

/** As found is over for good: adjusted, or the second pass has begun (ISO/IEC 17025:2017, 7.8.4.1 d, from memory). */
export const asFoundLocked = (state: EngineState): boolean =>
  state.adjusted.length > 0 || state.begunPasses.includes("as-left");

/** The pass to which a point can still be added: the present one, or the last that was begun and is not locked. */
export const passInHand = (state: EngineState): Pass | null => {
  const current = currentStop(state)?.pass;
  if (current !== undefined) return current;
  const last = state.begunPasses.at(-1);
  if (last === undefined) return null;
  return last === "as-found" && asFoundLocked(state) ? (nextStop(state)?.pass ?? null) : last;
};

/** Whether the way from one temperature to the next keeps the side from which a stop is to be reached. */
const keepsSide = (from: number | null, stop: { temperature: number; direction: Direction | null }): boolean =>
  stop.direction === null ||
  from === null ||
  (stop.direction === "rising" ? from < stop.temperature : from > stop.temperature);

const keepsSides = (from: number | null, stops: readonly PlannedStop[]): boolean =>
  stops.every((stop, index) => keepsSide(index === 0 ? from : stops[index - 1]!.temperature, stop));

const wayOf = (from: number | null, temperatures: readonly number[]): number =>
  temperatures.reduce(
    (sum, temperature, index) =>
      sum + Math.abs(temperature - (index === 0 ? (from ?? temperature) : temperatures[index - 1]!)),
    0,
  );

interface Insertion {
  readonly before: number | null;
  readonly way: number;
}

/** Places among the stops still to come at which a stop could be put in, each with the way that the source would go. */
const insertions = (from: number | null, ahead: readonly PlannedStop[], added: PlannedStop): Insertion[] =>
  Array.from({ length: ahead.length + 1 }, (_, place) => place).flatMap((place) => {
    const stops = ahead.toSpliced(place, 0, added);
    if (!keepsSides(from, stops)) return [];
    return [
      {
        before: ahead[place]?.point ?? null,
        way: wayOf(
          from,
          stops.map(({ temperature }) => temperature),
        ),
      },
    ];
  });

const chosen = (
  from: number | null,
  ahead: readonly PlannedStop[],
  added: PlannedStop,
  where: string,
): Insertion | null => {
  const all = insertions(from, ahead, added);
  if (where === "next") return all.find(({ before }) => before === (ahead[0]?.point ?? null)) ?? null;
  if (where === "last") return all.findLast(({ before }) => before === null) ?? null;
  return all.reduce<Insertion | null>((best, each) => (best === null || each.way <= best.way ? each : best), null);
};

const aheadIn = (state: EngineState, pass: Pass): PlannedStop[] =>
  state.stops.filter((stop) => stop.pass === pass && stop.status === "ahead");

/** A stop more, in the pass in hand and, where as left is still to come, there too, so that the two can be compared. */
export const addPoint = (
  state: EngineState,
  at: number,
  command: Extract<RunCommand, { command: "add-point" }>,
): Decision => {
  const { temperature, direction, where = "cheapest", reason, by } = command;
  const [crossed] = limitsCrossed(state.job, temperature);
  if (crossed !== undefined) return { ...nothing, refusal: crossed };
  const inHand = passInHand(state);
  if (inHand === null) return refuse("There is no pass that a point could be added to.");
  const point = 1 + Math.max(...state.stops.map((stop) => stop.point));
  const passes = state.job.procedure.passes.filter((pass) => pass === inHand || !state.begunPasses.includes(pass));
  const events: EventDraft[] = [];
  for (const pass of passes) {
    const added: PlannedStop = {
      pass,
      point,
      temperature,
      status: "ahead",
      reason,
      errors: {},
      done: [],
      direction: direction ?? null,
      added: true,
      flagged: false,
    };
    const from = pass === inHand ? (state.setPoint?.temperature ?? null) : null;
    const place = chosen(from, aheadIn(state, pass), added, where);
    if (place === null)
      return refuse(
        `There is no place for ${temperature} °C among the points still to come where it, and the points after it, would be reached from the side that is asked for. Leave the direction out, or choose another place.`,
      );
    const towards = direction === undefined ? {} : { direction };
    events.push({ kind: "point-added", at, pass, point, temperature, before: place.before, ...towards, reason, by });
  }
  // Whoever is at a point finishes it first; where nothing is left to do, the run goes there now.
  return currentStop(state) === undefined && state.paused === null
    ? thenAdvance(state, at, events)
    : { events, effects: [] };
};

const thenAdvance = (state: EngineState, at: number, events: readonly EventDraft[]): Decision => {
  const next = advance(foresee(state, events), at);
  return { events: [...events, ...next.events], effects: next.effects };
};

/** Passes of which two or more points are still to come. */
export const canSwap = (state: EngineState): boolean =>
  state.job.procedure.passes.some((pass) => aheadIn(state, pass).length > 1);

/** Two points still to come change places, unless a point would then be reached from the wrong side. */
export const swapPoints = (
  state: EngineState,
  at: number,
  command: Extract<RunCommand, { command: "swap-points" }>,
): Decision => {
  const { point, with: other, reason, by } = command;
  const pass = state.job.procedure.passes.find(
    (name) =>
      (command.pass === undefined || command.pass === name) &&
      [point, other].every((wanted) => aheadIn(state, name).some((stop) => stop.point === wanted)),
  );
  if (pass === undefined || point === other)
    return refuse("Only two points of the same pass that are both still to come can change places.");
  const ahead = aheadIn(state, pass);
  const [one, two] = [point, other].map((wanted) => ahead.findIndex((stop) => stop.point === wanted));
  const after = ahead.with(one!, ahead[two!]!).with(two!, ahead[one!]!);
  const from = currentStop(state)?.pass === pass ? (state.setPoint?.temperature ?? null) : null;
  if (!keepsSides(from, after))
    return refuse("A point would then be reached from the other side than the procedure asks for.");
  return { events: [{ kind: "points-swapped", at, pass, point, with: other, reason, by }], effects: [] };
};
