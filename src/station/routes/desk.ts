import type {
  Approach,
  CertificateSummary,
  DayPlan,
  DiagnosisAnswer,
  EventsAnswer,
  JobDetail,
  JobSummary,
  KitComparisonAnswer,
  OfferedHistory,
  ResultAnswer,
  RunCommand,
  RunSummary,
  RunView,
  StationAnswer,
  Validation,
} from "#contract";
import type { CertificateTerms, Language } from "#certificates";
import type { ExplainedPlace, Explanation, Pass } from "#calibration";
import type { Day } from "#planning";
import type { Feed } from "../live/event-stream.ts";

export interface Download {
  readonly bytes: Uint8Array;
  readonly name: string;
}

/** What the routes ask of the station: each answer as the contract has it. Everything may throw a Fault. */
export interface Desk {
  station(): StationAnswer;
  jobs(): Promise<JobSummary[]>;
  job(job: string): Promise<JobDetail>;
  /** Another order for the points, as a new revision of the job. */
  takeOrder(job: string, points: readonly number[]): Promise<JobDetail>;
  kits(job: string): Promise<KitComparisonAnswer>;
  day(jobs: readonly string[], day: Day): Promise<DayPlan>;
  history(job: string): Promise<OfferedHistory>;
  addJob(text: string): Promise<JobSummary>;
  /** `opened` is for the program that hosts the station: a demonstration that is not of today. */
  startRun(
    job: string,
    options: {
      speed?: number | undefined;
      seed?: number | undefined;
      opened?: Date | undefined;
      history?: boolean | undefined;
      although?: { readonly reason: string; readonly by?: string | undefined } | undefined;
      /** What somebody decided where another reference is plugged in than the job's. */
      probe?: "job" | "plugged" | undefined;
      /** Where instruments of the job are for this run, by their id. */
      at?: Readonly<Record<string, string>> | undefined;
    },
  ): Promise<RunSummary>;
  run(run: string): Promise<RunSummary>;
  view(run: string): Promise<RunView>;
  feed(run: string): Promise<Feed>;
  approach(run: string, pass: Pass, point: number): Promise<Approach>;
  command(run: string, command: RunCommand): Promise<RunView>;
  /** At once: waits for nothing. */
  stop(run: string, by: string | undefined): RunView;
  /** Somebody is there. */
  attend(run: string): RunView;
  result(run: string): Promise<ResultAnswer>;
  /** What the pattern of errors may mean. */
  diagnosis(run: string): Promise<DiagnosisAnswer>;
  explain(run: string, place: ExplainedPlace): Promise<Explanation>;
  /** Begins the validation of an ended run anew where it was cancelled. */
  validate(run: string): Promise<Validation>;
  cancelValidation(run: string): Promise<Validation>;
  events(run: string, numbers: readonly number[]): Promise<EventsAnswer>;
  log(run: string): Promise<Download>;
  preview(run: string, languages?: readonly Language[]): Promise<Download>;
  /** `at` is the moment of issue; now where nothing is said. */
  issue(run: string, authorisedBy: string, at?: Date, terms?: CertificateTerms): Promise<CertificateSummary>;
}
