import { success, type Outcome } from "#fault";
import type { InstrumentEntry } from "../drivers/entry.ts";
import { tryInstrument, wantedInputs } from "./try-instrument.ts";

/** Whether an instrument can be asked what it is; one that cannot is known only by values that make sense. */
const canBeAsked = (entry: InstrumentEntry): boolean =>
  entry.dialogue === "registers" ? entry.identify.by !== "nothing" : entry.dialogue !== "talk-only";

/** Nothing but the question for its name goes to a port of which nobody knows yet what is behind it. */
const askingOnly = (entry: InstrumentEntry): InstrumentEntry =>
  "onConnect" in entry ? { ...entry, onConnect: [] } : entry;

export interface FoundInstrument {
  readonly identification: string;
  /** The value by which one that cannot be asked was known; null for the others. */
  readonly gives: string | null;
}

/**
 * Whether an instrument of this entry is at an address: what it says of itself, or why it is not taken for one. Only its
 * identification is asked for, not even what the entry says on connecting; where there is none, one value must make sense.
 */
export const findInstrument = async (
  entry: InstrumentEntry,
  at: string,
  signal?: AbortSignal,
): Promise<Outcome<FoundInstrument>> => {
  const asked = canBeAsked(entry);
  const { identity, inputs } = await tryInstrument({
    entry: askingOnly(entry),
    at,
    inputs: asked ? [] : wantedInputs(entry, undefined, undefined).slice(0, 1),
    count: 1,
    setPoint: null,
    signal,
  });
  const first = inputs[0];
  if (!identity.ok) return identity;
  if (asked || first === undefined) return success({ identification: identity.value, gives: null });
  return first.outcome.ok
    ? success({
        identification: identity.value,
        gives: `${first.outcome.value.value} ${first.unit} on input ${first.input}`,
      })
    : first.outcome;
};
