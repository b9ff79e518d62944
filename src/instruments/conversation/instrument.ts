import type { Outcome } from "#fault";
import type { ChannelUnit } from "#quantity";
import type { UnderstoodReading } from "../drivers/reading.ts";
import type { PluggedProbe } from "../drivers/probe-answer.ts";
import type { Addressee } from "../drivers/addressee.ts";

export type ReadOnce = () => Promise<Outcome<UnderstoodReading>>;

/** How a heat source stands by its own word; null where its entry has no question for it. */
export interface SourceState {
  /** °C. */
  readonly setPoint: number | null;
  readonly output: boolean | null;
}

/** An instrument by what it can do, whatever its dialogue: asked in words, read in registers, or only listened to. */
export interface Instrument {
  readonly addressee: Addressee;
  /** Connects where need be and gives what the instrument says that it is. */
  identify(): Promise<Outcome<string>>;
  /** A function that reads one input again and again; a failure where the entry cannot read it. */
  reader(channel: string, input: number, unit: ChannelUnit): Outcome<ReadOnce>;
  /** Temperature in °C. */
  commandSetPoint(temperature: number): Promise<Outcome<null>>;
  /** The source's own ramp rate, K/min; null: as fast as it can. */
  setRampRate(rate: number | null): Promise<Outcome<null>>;
  /** Switching off goes before everything that waits, and breaks off what is being asked. */
  switchOutput(on: boolean): Promise<Outcome<null>>;
  /** Asks a heat source how it stands; changes nothing. */
  sourceState(): Promise<Outcome<SourceState>>;
  /** Asks which probe is plugged in at an input; there only where the entry has a question for it. */
  probe?(input: number): Promise<Outcome<PluggedProbe>>;
  /** Changes of the indication, K, at the lower end of the range and over the whole range. */
  adjust(zero: number, span: number): Promise<Outcome<null>>;
  close(): Promise<void>;
}
