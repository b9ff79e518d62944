import type { Decision, Job, RunEvent, RunOpened } from "#calibration";
import type { Journal } from "#engine";

export interface StoredCertificate {
  readonly number: string;
  readonly run: string;
  readonly job: string;
  /** UTC of issue. */
  readonly issued: string;
  readonly authorisedBy: string;
  readonly decision: Decision | null;
}

export interface CertificateFiles {
  readonly pdf: Uint8Array;
  readonly xml: Uint8Array;
}

/** What the station keeps. Records that are missing come back as null; what cannot be done is thrown as a Fault. */
export interface Store {
  /** The newest first. */
  jobs(): Promise<readonly Job[]>;
  job(job: string): Promise<Job | null>;
  /** Throws `records.conflict` where there is a job of that number already. */
  addJob(job: Job, text: string): Promise<void>;
  /** Names of runs, the newest first; of one job, or of all. */
  runs(job?: string): Promise<readonly string[]>;
  openRun(opened: RunOpened): Promise<Journal>;
  /** The journal of a run that was opened before. */
  journal(run: string): Promise<Journal>;
  log(run: string): Promise<readonly RunEvent[] | null>;
  /** The newest first. */
  certificates(): Promise<readonly StoredCertificate[]>;
  /** Number of a run's certificate; null where it has none. */
  certificateOf(run: string): Promise<string | null>;
  certificate(number: string): Promise<(StoredCertificate & CertificateFiles) | null>;
  /**
   * Issues: allots the next number, lets `make` render with it, and keeps number, files and their hashes together or not
   * at all, so that no number is ever lost. Throws `records.conflict` where the run has a certificate already.
   */
  issue(
    of: Omit<StoredCertificate, "number">,
    make: (number: string) => CertificateFiles | Promise<CertificateFiles>,
  ): Promise<StoredCertificate>;
  close(): Promise<void>;
}
