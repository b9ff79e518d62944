import type { FaultValue } from "#fault";
import { checkReference, coversDay, jobAfter, type EventDraft, type Job, type RunEvent } from "#calibration";
import { nothing, type Decision, type RunCommand } from "./inputs.ts";
import { blockEvents } from "./pending.ts";
import { limitsCrossed } from "./readiness.ts";
import type { EngineState } from "./state.ts";

type Replacing = Extract<RunCommand, { command: "replace-kit" }>;

const roles = ["reference", "readout", "source"] as const;

/** A channel must be there for the new reference, in the unit that its sensor gives. */
const channelFault = (job: Job): string | null => {
  const { channel, unit, serial } = job.kit.reference;
  const wired = job.bench.channels[channel];
  if (wired === undefined)
    return `The bench has no channel "${channel}" for reference ${serial}; it has ${Object.keys(job.bench.channels).join(", ")}.`;
  if (wired.unit !== unit)
    return `Channel "${channel}" is read in ${wired.unit}, and reference ${serial} gives ${unit}. Name the channel that reads it.`;
  return null;
};

/** Why an entry cannot take the other's place today; null where it can. */
const obstacle = (state: EngineState, at: number, before: Job, after: Job): FaultValue | null => {
  const role = roles.find((each) => after.kit[each] !== before.kit[each]);
  if (role === undefined) return { code: "input.invalid", message: "Name the entry that takes the other's place." };
  const entry = after.kit[role];
  if (entry.serial === before.kit[role].serial && entry.revision === before.kit[role].revision)
    return {
      code: "input.invalid",
      message: `${entry.serial} is the ${role} in use already. Name the one that takes its place, or a newer revision of it.`,
    };
  if (role !== "source") {
    const { calibration, serial } = after.kit[role];
    if (!coversDay(calibration, state.opened.opened, at))
      return {
        code: "kit.out-of-calibration",
        message: `The calibration of ${role} ${serial}, certificate ${calibration.certificate}, holds from ${calibration.date} to ${calibration.due} and not today. Use another one.`,
      };
  }
  const channel = role === "reference" ? channelFault(after) : null;
  if (channel !== null) return { code: "input.invalid", message: channel };
  const copied = role === "reference" ? (checkReference(after.kit.reference)?.fault ?? null) : null;
  if (copied !== null) return copied;
  const open = state.stops.filter(({ status }) => status === "ahead" || status === "current");
  return open.flatMap(({ temperature }) => limitsCrossed(after, temperature))[0] ?? null;
};

/**
 * Another reference, readout or source from here on. The run waits paused until it is in place: what was read of the
 * present approach is no history of the new entry, so resuming approaches the point anew.
 */
export const replaceKit = (state: EngineState, at: number, command: Replacing): Decision => {
  const { reference, readout, source, earlier, reason, by } = command;
  const entries = {
    ...(reference === undefined ? {} : { reference }),
    ...(readout === undefined ? {} : { readout }),
    ...(source === undefined ? {} : { source }),
  };
  if (Object.keys(entries).length !== 1)
    return { ...nothing, refusal: { code: "input.invalid", message: "Replace one kit entry at a time." } };
  const replaced = { kind: "kit-replaced" as const, at, ...entries, earlier, reason, by };
  const stands = obstacle(state, at, state.job, jobAfter(state.job, { ...replaced, n: 1 } as RunEvent));
  if (stands !== null) return { ...nothing, refusal: stands };
  const paused: EventDraft[] =
    state.paused === null
      ? [{ kind: "run-paused", at, reason: "kit was replaced; put it in place, then resume", by }]
      : [];
  return {
    events: [...blockEvents(state, state.volatile, at), replaced, ...paused],
    effects: reference === undefined ? [] : [{ kind: "fit-reference", reference }],
  };
};
