import type { Job } from "#calibration";
import type { BenchPort, Clock } from "#engine";
import type { Outcome } from "#fault";
import type { PluggedProbe } from "#instruments";

/** An adjustment that a run has already made, K; the simulated bench must know it when a run goes on after a restart. */
export interface Trim {
  readonly item: string;
  readonly zero: number;
  readonly span: number;
}

/** A catalogue entry as it stands in the log. */
export type CatalogEntry = Readonly<Record<string, unknown>>;

export interface BenchRequest {
  readonly job: Job;
  /** The entries with which the run was opened. */
  readonly catalog: readonly CatalogEntry[];
  /** UTC of the run's clock at 0. */
  readonly opened: string;
  /** Seconds on the run's clock at which the bench is opened: 0, or where an interrupted run goes on. */
  readonly from: number;
  /** Seed of the simulated bench; null on real instruments. */
  readonly seed: number | null;
  /** How many times faster than real time a simulated bench goes; real instruments take no notice. */
  readonly speed: number;
  readonly trims: readonly Trim[];
}

/** The instruments of one run, connected, with the clock that belongs to them. */
export interface HostedBench {
  readonly bench: BenchPort;
  /** Which probe is plugged in where a channel is read; null where the instrument has no way to say. */
  readonly probe?: ((channel: string) => Promise<Outcome<PluggedProbe> | null>) | undefined;
  readonly clock: Clock;
  /** How fast the clock really goes against the wall; Infinity for as fast as the machine can. */
  readonly speed: number;
  close(): Promise<void>;
}

/**
 * What a station or a command needs of the place where the instruments are. The program's own host opens real instruments
 * and, where a job says so, a simulated bench; whoever uses it cannot tell the two apart but by `isSimulated`.
 */
export interface BenchHost {
  isSimulated(job: Job): boolean;
  /** The catalogue entries that the job names. Throws a Fault where one is missing or cannot be used. */
  catalogOf(job: Job): readonly CatalogEntry[];
  open(request: BenchRequest): Promise<HostedBench>;
}
