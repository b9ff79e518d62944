import type { EventDraft } from "#calibration";
import { advance, pauseWithFault } from "./advance.ts";
import { adviceWords } from "./advice-words.ts";
import { decideAnswers } from "./decide-answers.ts";
import { decideCommand, resume } from "./decide-command.ts";
import { checkJudged, placeByHand, placed } from "./decide-check.ts";
import { patternSeen } from "./decide-pattern.ts";
import { foresee } from "./foresee.ts";
import type { Advice } from "./advice.ts";
import { nothing, type Decision, type Effect, type EngineInput } from "./inputs.ts";
import { blockEvents } from "./pending.ts";
import { isContactLost, sourceLost } from "./source-contact.ts";
import { engineName, type EngineState } from "./state.ts";
import { switchSource } from "./switch-source.ts";

/** As left is as found where nothing was adjusted: said once, and the points are not visited again. */
const leaveAlone = (state: EngineState, at: number, advice: readonly Advice[]): Decision => {
  const events: EventDraft[] = [
    {
      kind: "note-added",
      at,
      text: advice.map(({ reason }) => reason).join(" ") || "No adjustment is planned.",
      by: engineName,
    },
    ...state.stops
      .filter((stop) => stop.pass === "as-left")
      .map(({ pass, point }) => ({
        kind: "point-skipped" as const,
        at,
        pass,
        point,
        reason: "not adjusted: as left is as found",
        by: engineName,
      })),
  ];
  const next = advance(foresee(state, events), at);
  return { events: [...events, ...next.events], effects: next.effects };
};

const advised = (state: EngineState, at: number, advice: readonly Advice[]): Decision => {
  const wanted = advice.filter(({ adjust }) => adjust);
  if (wanted.length === 0) return leaveAlone(state, at, advice);
  const text = advice.map(adviceWords).join(" ");
  const by = state.job.procedure.adjustment?.authorisedBy ?? state.job.technician;
  const note: EventDraft = { kind: "note-added", at, text, by: engineName };
  const volatile = { ...state.volatile, advised: wanted };
  // Coefficients are entered by a person, who confirms it; zero and span may be set over the wire.
  if (wanted.some(({ coefficients }) => coefficients !== undefined)) return { events: [note], effects: [], volatile };
  const adjustments = wanted.map(({ item, zero, span }) => ({ item, zero, span }));
  return { events: [note], effects: [{ kind: "adjust-items", adjustments, by }], volatile };
};

const adjusted = (state: EngineState, input: Extract<EngineInput, { kind: "adjusted" }>): Decision => {
  const events: EventDraft[] = input.adjustments.map((adjustment) => ({
    kind: "item-adjusted",
    at: input.at,
    ...adjustment,
    by: input.by,
  }));
  const next = advance(foresee(state, events), input.at);
  return { events: [...events, ...next.events], effects: next.effects, volatile: { ...state.volatile, advised: [] } };
};

/** What cannot be adjusted over a wire is adjusted by hand: said, and the run waits for the confirmation. */
const byHand = (input: Extract<EngineInput, { kind: "effect-failed" }>): Decision => {
  if (input.effect.kind !== "adjust-items") return nothing;
  const words = input.effect.adjustments.map(
    ({ item, zero, span }) => `${item}: zero ${zero.toFixed(3)} K, span ${span.toFixed(3)} K`,
  );
  const text = `Adjust by hand, then confirm (${words.join("; ")}). ${input.fault.message}`;
  return { events: [{ kind: "note-added", at: input.at, text, by: engineName }], effects: [] };
};

/** Somebody pressed stop: the heat is gone already, and the run waits paused until it is ended or gone on with. */
const halted = (state: EngineState, at: number, by: string): Decision => {
  if (state.ended !== null || !state.begun) return nothing;
  const off = switchSource(state, at, false);
  const paused: EventDraft[] =
    state.paused === null
      ? [{ kind: "run-paused", at, reason: "somebody pressed stop, and the heat was taken away at once", by }]
      : [];
  return { events: [...blockEvents(state, state.volatile, at), ...off.events, ...paused], effects: off.effects };
};

const sourceLooked = (state: EngineState, input: Extract<EngineInput, { kind: "source-looked" }>): Decision => {
  const { at, by, found } = input;
  if (state.ended !== null || state.paused === null) return nothing;
  if (!found.ok)
    return {
      events: [
        {
          kind: "fault-seen",
          at,
          code: found.fault.code,
          message: `The heat source still cannot be asked how it stands. ${found.fault.message}`,
        },
      ],
      effects: [],
    };
  const events: EventDraft[] = [{ kind: "source-found", at, ...found.value, by }];
  const next = resume(foresee(state, events), at, by);
  return { events: [...events, ...next.events], effects: next.effects };
};

const toTheSource: ReadonlySet<Effect["kind"]> = new Set(["command-set-point", "set-ramp-rate", "switch-output"]);

const failed = (state: EngineState, input: Extract<EngineInput, { kind: "effect-failed" }>): Decision => {
  if (input.effect.kind === "adjust-items") return byHand(input);
  if (input.effect.kind === "place-reference") return placeByHand(state, input, input.effect.where);
  const stillOn = input.effect.kind === "switch-output" && !input.effect.on;
  const message = stillOn
    ? `The source could not be switched off: ${input.fault.message} Switch it off at its own switch now.`
    : input.fault.message;
  const lost =
    toTheSource.has(input.effect.kind) && isContactLost(input.fault) ? sourceLost(state, input.at, input.fault) : [];
  const fault = { code: input.fault.code, message };
  if (state.ended !== null) return { events: [{ kind: "fault-seen", at: input.at, ...fault }], effects: [] };
  return { events: [...lost, ...pauseWithFault(input.at, fault)], effects: [] };
};

/**
 * The program stopped in the middle of a run and has read its log again. Nobody knows what the source did meanwhile: it is
 * switched off, so that it does not heat with nobody there, and so that `resume` commands set point and output anew.
 */
const interrupted = (state: EngineState, at: number): Decision => {
  if (state.ended !== null || !state.begun) return nothing;
  const paused: EventDraft = { kind: "run-paused", at, reason: "the program was interrupted", by: engineName };
  if (!state.output) return { events: [paused], effects: [] };
  const off = switchSource(state, at, false);
  return { events: [...off.events, paused], effects: off.effects };
};

/** Recording works again after the heat had to be taken away: the log says so, and a person decides when to go on. */
const heatTaken = (state: EngineState, at: number): Decision => {
  if (state.ended !== null || !state.output) return nothing;
  const reason = "nothing could be recorded for a while, and the source was switched off";
  return {
    events: [
      { kind: "output-switched", at, on: false },
      ...(state.paused === null ? [{ kind: "run-paused" as const, at, reason, by: "engine" }] : []),
    ],
    effects: [],
  };
};

const decide = (state: EngineState, input: EngineInput): Decision => {
  switch (input.kind) {
    case "answers":
      return decideAnswers(state, input.at, input.answers);
    case "command":
      return decideCommand(state, input.at, input.command);
    case "advised":
      return advised(state, input.at, input.advice);
    case "adjusted":
      return adjusted(state, input);
    case "placed":
      return placed(state, input.at, input.where, engineName);
    case "check-judged":
      return checkJudged(state, input.at, input.checks);
    case "pattern-seen":
      return patternSeen(state, input.at, input.remarks);
    case "effect-failed":
      return failed(state, input);
    case "heat-taken":
      return heatTaken(state, input.at);
    case "attended":
      return nothing;
    case "halted":
      return halted(state, input.at, input.by);
    case "source-looked":
      return sourceLooked(state, input);
    case "interrupted":
      return interrupted(state, input.at);
  }
};

export interface Step extends Decision {
  /** The state once the events are in the log. The caller keeps the old one when they could not be made durable. */
  readonly state: EngineState;
}

/**
 * One step of a run: what an input leads to. Pure; the events must be durable before the effects are carried out.
 * The new state is the old one with the events folded in, as a replay of the log would make it; only the volatile part
 * (readings that wait for the log) comes from the input itself.
 */
export const step = (state: EngineState, input: EngineInput): Step => {
  const decision = decide(state, input);
  const flushed = decision.events.some((event) => event.kind === "readings-taken");
  const volatile =
    decision.volatile ?? (flushed ? { ...state.volatile, pending: {}, pendingSince: null } : state.volatile);
  // Whoever asks something of the run is there.
  const there = input.kind === "command" || input.kind === "attended" || input.kind === "halted";
  const attended = there ? { ...volatile, attendedAt: input.at } : volatile;
  return { ...decision, state: { ...foresee(state, decision.events), volatile: attended } };
};
