import { checkBeforeIssue, issueDay, renderCertificate } from "#certificates";
import type { CertificateSummary, ResultAnswer } from "#contract";
import type { RunOpened } from "#calibration";
import { Fault } from "#fault";
import { fileName } from "../http/downloads.ts";
import type { LiveRuns } from "../live/live-runs.ts";
import type { Download } from "../routes/desk.ts";
import type { CertificateFiles, Store, StoredCertificate } from "../store.ts";
import { overallDecision } from "./run-progress.ts";
import type { RunDesk } from "./run-desk.ts";

/** From a run to its certificate, and certificates that were issued. */
export class CertificateDesk {
  readonly #store: Store;
  readonly #runs: RunDesk;
  readonly #live: LiveRuns;
  readonly #now: () => Date;

  constructor(parts: { store: Store; runs: RunDesk; live: LiveRuns; now: () => Date }) {
    this.#store = parts.store;
    this.#runs = parts.runs;
    this.#live = parts.live;
    this.#now = parts.now;
  }

  async result(run: string): Promise<ResultAnswer> {
    const { log, result } = await this.#runs.result(run);
    const date = issueDay(log, result, this.#today());
    const { stops, warnings } = checkBeforeIssue({ log, result, issued: { date } });
    const plain = (findings: typeof stops) => findings.map(({ clause, message }) => ({ clause, message }));
    return { result, check: { stops: plain(stops), warnings: plain(warnings) } };
  }

  async preview(run: string): Promise<Download> {
    const { log, result } = await this.#runs.result(run);
    const date = issueDay(log, result, this.#today());
    const { pdf } = renderCertificate({ log, result, issued: { date, preview: true } });
    return { bytes: pdf, name: fileName(`${run}-preview`, "pdf") };
  }

  async issue(run: string, authorisedBy: string): Promise<CertificateSummary> {
    const known = await this.#store.certificateOf(run);
    if (known !== null) {
      throw new Fault("records.conflict", `Run ${run} has certificate ${known} already. A certificate is issued once; measure again for a new one.`, {
        data: { number: known },
      });
    }
    // The source may still be watched while it cools: what is certified is a log to which nothing is added any more.
    if ((await this.#runs.summary(run)).state === "ended") await this.#live.release(run);
    const { log, result } = await this.#runs.result(run);
    if (result.outcome === "open") {
      throw new Fault("run.not-allowed", "The run has not ended. Let it complete, or stop it, before its certificate is issued.");
    }
    const now = this.#now().toISOString();
    const day = issueDay(log, result, now.slice(0, 10));
    const { job } = log[0] as RunOpened;
    const stored = await this.#store.issue(
      {
        run,
        job: job.job,
        issued: day > now.slice(0, 10) ? `${day}T00:00:00Z` : now,
        authorisedBy,
        decision: overallDecision(result),
      },
      (number): CertificateFiles => {
        const { pdf, xml, check } = renderCertificate({ log, result, issued: { number, date: day, authorisedBy } });
        if (check.stops.length > 0) {
          throw new Fault("certificate.incomplete", `The certificate cannot be issued. ${check.stops.map(({ message }) => message).join(" ")}`, {
            data: { stops: check.stops, warnings: check.warnings },
          });
        }
        return { pdf, xml: Buffer.from(xml, "utf8") };
      },
    );
    return this.#summary(stored);
  }

  async list(): Promise<CertificateSummary[]> {
    return Promise.all((await this.#store.certificates()).map((certificate) => this.#summary(certificate)));
  }

  async file(number: string, kind: "pdf" | "xml"): Promise<Download> {
    const stored = await this.#store.certificate(number);
    if (stored === null) throw new Fault("records.not-found", `There is no certificate ${number}. The records page lists what was issued.`);
    return { bytes: stored[kind], name: fileName(number, kind) };
  }

  async #summary({ number, run, job, issued, authorisedBy, decision }: StoredCertificate): Promise<CertificateSummary> {
    const { title, customer, items, rehearsal } = await this.#runs.summary(run);
    return { number, run, job, title, customer, tags: items.map(({ tag }) => tag), issued, authorisedBy, rehearsal, decision };
  }

  #today(): string {
    return this.#now().toISOString().slice(0, 10);
  }
}
