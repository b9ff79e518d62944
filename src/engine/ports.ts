import type { Outcome } from "#fault";
import type { EventDraft, Reference, RunEvent } from "#calibration";

/** The run's clock: seconds since the run was opened. Never goes back. On a simulated bench it may run at any speed. */
export interface Clock {
  now(): number;
  /** Resolves when `now()` has reached `at`, or early when the signal is aborted. */
  sleepUntil(at: number, signal?: AbortSignalLike): Promise<void>;
}

/** What the engine needs of an abort signal; the platform's own fits. */
export interface AbortSignalLike {
  readonly aborted: boolean;
  addEventListener(type: "abort", listener: () => void): void;
  removeEventListener(type: "abort", listener: () => void): void;
}

/** One channel read once: the value with the digits as they came over the wire, or why there is none. */
export interface ChannelAnswer {
  readonly channel: string;
  /** Seconds on the run's clock at which the value was taken. */
  readonly time: number;
  readonly outcome: Outcome<{ readonly value: number; readonly wire: string }>;
}

/** The instruments of the run, by channel name. Expected troubles come back as fault values, never as exceptions. */
export interface BenchPort {
  /** Checks that every instrument answers and is what its entry says. */
  prepare(): Promise<Outcome<readonly InstrumentIdentity[]>>;
  read(channels: readonly string[]): Promise<readonly ChannelAnswer[]>;
  commandSetPoint(temperature: number): Promise<Outcome<null>>;
  /** The source's own ramp rate, K/min; null: as fast as it can. Left out by a bench whose source has none. */
  setRampRate?(rate: number | null): Promise<Outcome<null>>;
  switchOutput(on: boolean): Promise<Outcome<null>>;
  /** How the source stands by its own word: set point in °C and output; null where it cannot be asked. Changes nothing. */
  sourceState?(): Promise<Outcome<{ readonly setPoint: number | null; readonly output: boolean | null }>>;
  /** Changes the item's indication: by `zero` K at the lower end of its range, and `span` K more over its range. */
  adjustItem(item: string, zero: number, span: number): Promise<Outcome<null>>;
  /** Puts the reference elsewhere; left out where only a person can. */
  placeReference?(where: "source" | "ice-point" | "beside-check-thermometer"): Promise<Outcome<null>>;
  /** Another reference was connected; a simulated bench must know it, at a real one a person has done it. */
  fitReference?(reference: Reference): Promise<void>;
  close(): Promise<void>;
}

export interface InstrumentIdentity {
  readonly instrument: string;
  readonly identification: string;
}

/**
 * Where events become durable. `append` resolves only when the events are safe against a crash; it gives them their
 * numbers. It rejects with a Fault when the disk is full or the folder is read-only, and then nothing was appended.
 */
export interface Journal {
  append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]>;
}
