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

/** What must be added to a reference's temperatures; NaN where a signal gives none under the right coefficients. */
export interface ReferenceCorrection {
  /** K, at a temperature in °C that the written coefficients gave. */
  at(temperature: number): Added;
  /** The same for a column of signals with their temperatures, K. */
  all(signals: Float64Array, temperatures: Float64Array): Float64Array;
}

/**
 * The correction of a reference whose coefficients were written as `written`. With new coefficients it is the difference of
 * the two curves at the same signal (rule T4).
 *
 * @throws Fault `thermometry.invalid` where the coefficients cannot describe a thermometer
 */
export const correctionOfReference = (correction: Correction, written: Sensor): ReferenceCorrection => {
  if (correction.kind === "differences") {
    const { table } = correction;
    return {
      at: (temperature) => addedAt(table, temperature),
      all: (_, temperatures) => temperatures.map((temperature) => addedAt(table, temperature).add),
    };
  }
  const [old, anew] = [unwrap(prepare(written)), unwrap(prepare(correction.sensor))];
  return {
    at: (temperature) => {
      const signal = old.signal(temperature);
      const right = signal.ok ? anew.temperature(signal.value.signal) : signal;
      return { add: right.ok ? right.value.temperature - temperature : Number.NaN, u: correction.u };
    },
    all: (signals, temperatures) => {
      const right = new Float64Array(signals.length);
      anew.temperatures(signals, { values: right, statuses: new Uint8Array(signals.length) });
      return right.map((temperature, index) => temperature - temperatures[index]!);
    },
  };
};
