import {
  checkBeforeIssue,
  issueDay,
  renderCertificate,
  type CertificateTerms,
  type IssueCheck,
  type Language,
} from "#certificates";
import type { CertificateSummary, ResultAnswer, Validation } from "#contract";
import type { Job, RunOpened } from "#calibration";
import { Fault } from "#fault";
import type { Records } from "#records";
import { fileName } from "../http/downloads.ts";
import type { LiveRuns } from "../live/live-runs.ts";
import type { Download } from "../routes/desk.ts";
import { summaryOf } from "./issued-terms.ts";
import type { PictureDesk } from "./laboratory-pictures.ts";
import { overallDecision } from "./overall-decision.ts";
import type { RunDesk } from "./run-desk.ts";
import type { Validations } from "./validations.ts";

/** Throws `certificate.incomplete` where the check before issue has stops. */
export const refuseStops = ({ stops, warnings }: IssueCheck): void => {
  if (stops.length === 0) return;
  throw new Fault(
    "certificate.incomplete",
    `The certificate cannot be issued. ${stops.map(({ message }) => message).join(" ")}`,
    {
      data: { stops, warnings },
    },
  );
};

/** The job's own number, with -2, -3 … after certificates that hold no longer; else the year and the place in the order of issue. */
const numberFor = ({ certificate }: Job, day: string, sequence: number, earlier: number): string => {
  if (certificate === undefined) return `${day.slice(0, 4)}-${String(sequence).padStart(4, "0")}`;
  return earlier === 0 ? certificate : `${certificate}-${earlier + 1}`;
};

/** From a run to its certificate, and certificates that were issued. */
export class CertificateDesk {
  readonly #records: Records;
  readonly #runs: RunDesk;
  readonly #live: LiveRuns;
  readonly #validations: Validations;
  readonly #pictures: PictureDesk;
  readonly #now: () => Date;

  constructor(parts: {
    records: Records;
    runs: RunDesk;
    live: LiveRuns;
    validations: Validations;
    pictures: PictureDesk;
    now: () => Date;
  }) {
    this.#records = parts.records;
    this.#runs = parts.runs;
    this.#live = parts.live;
    this.#validations = parts.validations;
    this.#pictures = parts.pictures;
    this.#now = parts.now;
  }

  async result(run: string): Promise<ResultAnswer> {
    const { log, result } = await this.#runs.result(run);
    const date = issueDay(log, result, this.#today());
    const validation = this.#validations.of(log, result);
    const { stops, warnings } = checkBeforeIssue({ log, result, issued: { date }, validation: validation.points });
    const plain = (findings: typeof stops) => findings.map(({ clause, message }) => ({ clause, message }));
    return { result, check: { stops: plain(stops), warnings: plain(warnings) }, validation };
  }

  /** Begins the validation of an ended run anew where it was cancelled. */
  async validate(run: string): Promise<Validation> {
    const { log, result } = await this.#runs.result(run);
    return this.#validations.again(log, result);
  }

  /** Cancels the validation of a run that is under way; what is done already stays. */
  async cancelValidation(run: string): Promise<Validation> {
    const { log, result } = await this.#runs.result(run);
    this.#validations.cancel(run);
    await this.#validations.whole(log, result);
    return this.#validations.of(log, result);
  }

  async preview(run: string, languages: readonly Language[]): Promise<Download> {
    const { log, result } = await this.#runs.result(run);
    const date = issueDay(log, result, this.#today());
    const pictures = await this.#pictures.all();
    const { pdf } = renderCertificate({ log, result, issued: { date, languages, preview: true }, pictures });
    return { bytes: pdf, name: fileName(`${run}-preview`, "pdf") };
  }

  /**
   * Issues the certificate of an ended run, where none of it holds. Its number is the job's own where the job gives one, else
   * the year and the certificate's place in the order of issue. What the check forbids is refused, and then no place is taken.
   */
  async issue(run: string, authorisedBy: string, at: Date, terms: CertificateTerms = {}): Promise<CertificateSummary> {
    const { outcome } = await this.#records.readRun(run);
    const { certificates: earlier } = await this.#records.listCertificates({ run, limit: 500 });
    const holding = earlier.find(({ withdrawn, replacedBy }) => withdrawn === null && replacedBy === null);
    if (holding !== undefined) {
      throw new Fault(
        "records.conflict",
        `Run ${run} has certificate ${holding.number} already. A certificate is issued once: amend that one, or measure again for a new one.`,
        { data: { number: holding.number } },
      );
    }
    if (outcome === null) {
      throw new Fault(
        "run.not-allowed",
        "The run has not ended. Let it complete, or stop it, before its certificate is issued.",
      );
    }
    // The source may still be watched while it cools: what is certified is a log to which nothing is added any more.
    await this.#live.release(run);
    const { log, result } = await this.#runs.whole(run);
    const now = at.toISOString();
    const day = issueDay(log, result, now.slice(0, 10));
    const { job } = log[0] as RunOpened;
    const validation = await this.#validations.whole(log, result);
    const pictures = await this.#pictures.all();
    const entry = await this.#records.addCertificate({
      run,
      issued: day > now.slice(0, 10) ? `${day}T00:00:00Z` : now,
      authorisedBy,
      decision: overallDecision(result),
      terms,
      make(sequence) {
        const number = numberFor(job, day, sequence, earlier.length);
        const { pdf, xml, check } = renderCertificate({
          log,
          result,
          issued: { ...terms, number, date: day, authorisedBy },
          validation,
          pictures,
        });
        refuseStops(check);
        return { number, pdf, xml: Buffer.from(xml, "utf8") };
      },
    });
    return summaryOf(entry);
  }

  #today(): string {
    return this.#now().toISOString().slice(0, 10);
  }
}
