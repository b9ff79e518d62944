import { jobConverter, logFormat, plannedPoints, type Job, type RunOpened } from "#calibration";
import { noHand } from "./hand/follow-hand.ts";
import { plannedSweep } from "./ramp/ramp-state.ts";
import { noVolatile, type EngineState, type PlannedStop } from "./state.ts";

export interface Opening {
  readonly job: Job;
  readonly run: string;
  /** UTC of the run's clock at 0. */
  readonly opened: string;
  readonly seed: number | null;
  readonly software: { readonly name: string; readonly version: string };
  /** The catalogue entries that the bench uses, as they are now. */
  readonly catalog: readonly Readonly<Record<string, unknown>>[];
  /** What the plan refuses and a person runs all the same. */
  readonly overridden?: RunOpened["overridden"];
  /** What earlier runs taught about the time that the items take; see `learntBefore`. */
  readonly learnt?: NonNullable<RunOpened["learnt"]>;
}

/** Line 0 of a run's log: everything that evaluation will need, frozen. */
export const openRun = ({ job, run, opened, seed, software, catalog, overridden, learnt }: Opening): RunOpened => ({
  kind: "run-opened",
  format: logFormat,
  n: 0,
  at: 0,
  run,
  opened,
  software: { ...software },
  seed,
  job,
  catalog: catalog.map((entry) => ({ ...entry })),
  ...(overridden === undefined || overridden.length === 0 ? {} : { overridden: [...overridden] }),
  ...(learnt === undefined || Object.keys(learnt).length === 0 ? {} : { learnt }),
});

/** The state of a run whose log holds only its opening. */
export const initialState = (opened: RunOpened): EngineState => {
  const { job } = opened;
  const stops: PlannedStop[] = job.procedure.passes.flatMap((pass) =>
    plannedPoints(job.procedure).map(({ temperature, direction }, point) => ({
      pass,
      point,
      temperature,
      status: "ahead" as const,
      reason: null,
      errors: {},
      done: [],
      direction: plannedSweep(job, point)?.direction ?? direction ?? null,
      added: false,
      flagged: false,
    })),
  );
  return {
    opened,
    job,
    converter: jobConverter(job),
    at: 0,
    begun: false,
    output: false,
    switched: false,
    stops,
    begunPasses: [],
    setPoint: null,
    way: null,
    settling: {},
    settled: {},
    tracks: {},
    measuring: null,
    ramp: null,
    hand: noHand(job),
    latest: {},
    reference: { times: [], temperatures: [] },
    itemStretches: {},
    adjusted: [],
    adjustmentDecided: false,
    learnt: { pace: opened.learnt ?? {}, points: [], from: null },
    paused: null,
    faults: [],
    onBreak: null,
    check: null,
    skippedChecks: [],
    referencePlace: "source",
    ended: null,
    contact: null,
    sourceInDoubt: false,
    coolBelow: null,
    volatile: noVolatile,
  };
};
