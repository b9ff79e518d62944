import type {
  Approach,
  CertificateSummary,
  EventsAnswer,
  JobDetail,
  JobSummary,
  ResultAnswer,
  RunCommand,
  RunSummary,
  RunView,
  StationAnswer,
} from "#contract";
import type { Pass } from "#calibration";
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
  addJob(text: string): Promise<JobSummary>;
  /** `opened` is for the program that hosts the station: a demonstration that is not of today. */
  startRun(
    job: string,
    options: { speed?: number | undefined; seed?: number | undefined; opened?: Date | undefined },
  ): Promise<RunSummary>;
  run(run: string): Promise<RunSummary>;
  view(run: string): Promise<RunView>;
  feed(run: string): Promise<Feed>;
  approach(run: string, pass: Pass, point: number): Promise<Approach>;
  command(run: string, command: RunCommand): Promise<RunView>;
  result(run: string): Promise<ResultAnswer>;
  events(run: string, numbers: readonly number[]): Promise<EventsAnswer>;
  log(run: string): Promise<Download>;
  preview(run: string): Promise<Download>;
  /** `at` is the moment of issue; now where nothing is said. */
  issue(run: string, authorisedBy: string, at?: Date): Promise<CertificateSummary>;
  certificates(): Promise<CertificateSummary[]>;
  certificatePdf(number: string): Promise<Download>;
  certificateXml(number: string): Promise<Download>;
}
