import { unwrap } from "#fault";
import { prepare, type Sensor } from "#thermometry";
import type { Correction } from "./suspicion.ts";

/** What must be added at a place, and its standard uncertainty, in the same unit. */
export interface Added {
  readonly add: number;
  readonly u: number;
}

type Table = Extract<Correction, { kind: "differences" }>["table"];

/** Linear between the rows, the end rows beyond them. */
export const addedAt = (table: Table, at: number): Added => {
  const [first, last] = [table[0]!, table.at(-1)!];
  if (at <= first.at) return { add: first.add, u: first.u };
  if (at >= last.at) return { add: last.add, u: last.u };
  const upper = table.findIndex((row) => row.at >= at);
  const [low, high] = [table[upper - 1]!, table[upper]!];
  const share = (at - low.at) / (high.at - low.at);
  return { add: low.add + share * (high.add - low.add), u: low.u + share * (high.u - low.u) };
};

/**
 * What must be added to the temperature that a reference gave, K, at a temperature in °C that its written coefficients
 * gave. With new coefficients it is the difference of the two curves at the same signal (rule T4); where one of them gives
 * no temperature, undefined.
 *
 * @throws Fault `thermometry.invalid` where the coefficients cannot describe a thermometer
 */
export const correctionOfReference = (
  correction: Correction,
  written: Sensor,
): ((temperature: number) => Added | undefined) => {
  if (correction.kind === "differences") return (temperature) => addedAt(correction.table, temperature);
  const [old, anew] = [unwrap(prepare(written)), unwrap(prepare(correction.sensor))];
  return (temperature) => {
    const signal = old.signal(temperature);
    if (!signal.ok) return undefined;
    const right = anew.temperature(signal.value.signal);
    return right.ok ? { add: right.value.temperature - temperature, u: correction.u } : undefined;
  };
};
