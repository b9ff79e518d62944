import {
  certificateDocument,
  changedFigures,
  correctableTexts,
  issueDay,
  itemLabel,
  logHash,
  renderCertificate,
  renderLabel,
  type Amends,
  type CertificateTerms,
  type Correction,
} from "#certificates";
import type { Result, RunEvent } from "#calibration";
import type { Amend, CertificateDetail, CertificateSummary, Withdraw } from "#contract";
import { Fault } from "#fault";
import type { CertificateEntry, Records } from "#records";
import { fileName } from "../http/downloads.ts";
import type { Download } from "../routes/desk.ts";
import { refuseStops } from "./certificate-desk.ts";
import { issueDataOf, keptTerms, languagesKept, summaryOf, type KeptTerms } from "./issued-terms.ts";
import type { PictureDesk } from "./laboratory-pictures.ts";
import { overallDecision } from "./overall-decision.ts";
import type { RunDesk } from "./run-desk.ts";
import type { Validations } from "./validations.ts";

/** The number of an amended certificate: that of the first one, with -A1, -A2 … behind it. */
const amendedNumber = (number: string): string => {
  const [, first = number, count = "0"] = /^(.*)-A(\d+)$/.exec(number) ?? [];
  return `${first}-A${Number(count) + 1}`;
};

/** Earlier corrections with the new ones; a new one takes the place of an earlier one of the same text. */
const together = (earlier: readonly Correction[], later: readonly Correction[]): readonly Correction[] => [
  ...earlier.filter((old) => !later.some(({ field, item }) => field === old.field && item === old.item)),
  ...later,
];

const refuseFate = ({ number, replacedBy, withdrawn }: CertificateEntry): void => {
  if (replacedBy === null && withdrawn === null) return;
  throw new Fault(
    "records.conflict",
    withdrawn === null
      ? `Certificate ${number} was replaced by ${replacedBy} already. Amend that one.`
      : `Certificate ${number} was withdrawn already.`,
    { data: { number } },
  );
};

/** Certificates that were issued: their files, their labels, and what becomes of them. */
export class IssuedDesk {
  readonly #records: Records;
  readonly #runs: RunDesk;
  readonly #validations: Validations;
  readonly #pictures: PictureDesk;
  readonly #now: () => Date;

  constructor(parts: {
    records: Records;
    runs: RunDesk;
    validations: Validations;
    pictures: PictureDesk;
    now: () => Date;
  }) {
    this.#records = parts.records;
    this.#runs = parts.runs;
    this.#validations = parts.validations;
    this.#pictures = parts.pictures;
    this.#now = parts.now;
  }

  async list(): Promise<CertificateSummary[]> {
    return (await this.#records.listCertificates({ limit: 500 })).certificates.map(summaryOf);
  }

  async detail(number: string): Promise<CertificateDetail> {
    const entry = await this.#records.readCertificate(number);
    const { log } = await this.#runs.whole(entry.run);
    return { ...summaryOf(entry), texts: [...correctableTexts(log, keptTerms(entry))] };
  }

  /**
   * The PDF of a certificate. One that was withdrawn or replaced says so at the head of every page: it is written anew for that,
   * while the bytes that were issued are kept, and are given where they are asked for.
   */
  async pdf(number: string, as: "now" | "issued"): Promise<Download> {
    const entry = await this.#records.readCertificate(number);
    const name = fileName(number, "pdf");
    if (as === "issued" || (entry.withdrawn === null && entry.replacedBy === null))
      return { bytes: await this.#records.certificateBytes(number, "pdf"), name };
    const { log, result } = await this.#runs.whole(entry.run);
    const later = entry.replacedBy === null ? null : await this.#records.readCertificate(entry.replacedBy);
    const issued = issueDataOf(entry, later === null ? null : later.issued.slice(0, 10));
    const { pdf } = renderCertificate({ log, result, issued, pictures: await this.#pictures.all() });
    return { bytes: pdf, name };
  }

  async xml(number: string): Promise<Download> {
    return { bytes: await this.#records.certificateBytes(number, "xml"), name: fileName(number, "xml") };
  }

  /** A new certificate in the place of one that was issued (ISO/IEC 17025:2017, 7.8.8); the old one is kept. */
  async amend(number: string, { authorisedBy, reason, corrections, ...wanted }: Amend): Promise<CertificateSummary> {
    const entry = await this.#records.readCertificate(number);
    refuseFate(entry);
    const { log, result } = await this.#runs.whole(entry.run);
    const { amends: _amends, ...before } = keptTerms(entry);
    const terms: CertificateTerms = {
      ...before,
      ...wanted,
      corrections: together(before.corrections ?? [], corrections),
    };
    const now = this.#now().toISOString();
    const day = issueDay(log, result, now.slice(0, 10));
    const date = day < entry.issued.slice(0, 10) ? entry.issued.slice(0, 10) : day;
    const kept: KeptTerms = {
      ...terms,
      amends: {
        number,
        date: entry.issued.slice(0, 10),
        reason,
        sha256: entry.files.xml,
        terms: before,
        authorisedBy: entry.authorisedBy,
        figures: await this.#changedFigures(entry, log, result),
      },
    };
    const validation = await this.#validations.whole(log, result);
    const pictures = await this.#pictures.all();
    const made = await this.#records.addCertificate({
      run: entry.run,
      issued: date > now.slice(0, 10) ? `${date}T00:00:00Z` : now,
      authorisedBy,
      decision: overallDecision(result),
      terms: kept,
      amends: { number, reason },
      make() {
        const next = amendedNumber(number);
        const issued = { ...kept, number: next, date, authorisedBy };
        const { pdf, xml, check } = renderCertificate({ log, result, issued, validation, pictures });
        refuseStops(check);
        return { number: next, pdf, xml: Buffer.from(xml, "utf8") };
      },
    });
    return summaryOf(made);
  }

  /** Figures that the evaluation of today gives otherwise than the certificate states. */
  async #changedFigures(entry: CertificateEntry, log: readonly RunEvent[], result: Result): Promise<Amends["figures"]> {
    if (entry.files.xml === undefined) return [];
    const xml = Buffer.from(await this.#records.certificateBytes(entry.number, "xml")).toString("utf8");
    const issued = issueDataOf(entry);
    const document = certificateDocument({ log, result, issued, language: "en", logHash: logHash(log), fit: true });
    return changedFigures(xml, document);
  }

  /** Says of a certificate that it holds no longer, though none stands in its place. */
  async withdraw(number: string, { by, reason }: Withdraw): Promise<CertificateSummary> {
    refuseFate(await this.#records.readCertificate(number));
    await this.#records.withdrawCertificate({ number, at: this.#now().toISOString(), by, reason });
    return summaryOf(await this.#records.readCertificate(number));
  }

  /**
   * A label for an item of a certificate: what was found, when, and where it is written; the next calibration only where it was
   * agreed (ISO/IEC 17025:2017, 7.8.4.3). Refused for a certificate that holds no longer.
   */
  async label(number: string, item: string): Promise<Download> {
    const entry = await this.#records.readCertificate(number);
    refuseFate(entry);
    const { log, result } = await this.#runs.whole(entry.run);
    const [language = "en"] = languagesKept(entry);
    const document = certificateDocument({
      log,
      result,
      issued: issueDataOf(entry),
      language,
      logHash: logHash(log),
      fit: true,
    });
    return {
      bytes: renderLabel(itemLabel(document, item)),
      name: fileName(`${number}-${item}-label`, "pdf"),
    };
  }
}
