import type { Outcome } from "#fault";
import type { ChannelUnit } from "#quantity";
import type { PluggedProbe } from "../drivers/probe-answer.ts";

/*
 * The shape of the runner's port for a bench, declared here because this room may not know the engine. The two are
 * compared structurally where the composition roots plug them together.
 */

export interface ChannelAnswer {
  readonly channel: string;
  /** Seconds on the run's clock at which the value was taken. */
  readonly time: number;
  readonly outcome: Outcome<{ readonly value: number; readonly wire: string }>;
}

export interface InstrumentIdentity {
  readonly instrument: string;
  readonly identification: string;
}

export interface InstrumentBench {
  prepare(): Promise<Outcome<readonly InstrumentIdentity[]>>;
  read(channels: readonly string[]): Promise<readonly ChannelAnswer[]>;
  commandSetPoint(temperature: number): Promise<Outcome<null>>;
  setRampRate(rate: number | null): Promise<Outcome<null>>;
  switchOutput(on: boolean): Promise<Outcome<null>>;
  /** How the heat source stands by its own word: set point in °C and output; null where its entry has no question for it. */
  sourceState(): Promise<Outcome<{ readonly setPoint: number | null; readonly output: boolean | null }>>;
  /** Which probe is plugged in where a channel is read; null where the instrument has no way to say. */
  probe(channel: string): Promise<Outcome<PluggedProbe> | null>;
  adjustItem(item: string, zero: number, span: number): Promise<Outcome<null>>;
  close(): Promise<void>;
}

export type InstrumentRole = "readout" | "source" | "item";

/** An instrument as a job names it. The maintenance channel of an item carries the item's own identifier. */
export interface BenchInstrument {
  readonly id: string;
  readonly entry: string;
  readonly at: string;
  readonly role: InstrumentRole;
}

export interface BenchChannel {
  readonly instrument: string;
  readonly input: number;
  readonly unit: ChannelUnit;
}
