import type { PointValidation, Result, RunEvent } from "#calibration";
import { certificateDocument } from "../document/certificate-document.ts";
import { checkBeforeIssue } from "../document/check-before-issue.ts";
import type { CertificateDocument, IssueCheck, IssueData } from "../document/model.ts";
import { dccXml } from "./dcc.ts";
import { logHash } from "./log-hash.ts";
import { renderPdf } from "./pdf.ts";

export interface CertificateInput {
  readonly log: readonly RunEvent[];
  /** The result of exactly this log. */
  readonly result: Result;
  readonly issued: IssueData;
  /** For the check list only; the certificate itself is the same with and without it. */
  readonly validation?: readonly PointValidation[];
}

export interface RenderedCertificate {
  /** PDF/A-3 with the XML attached; the same input gives the same bytes. */
  readonly pdf: Uint8Array;
  /** Digital Calibration Certificate 3.3.0. */
  readonly xml: string;
  readonly document: CertificateDocument;
  readonly check: IssueCheck;
}

/**
 * Renders a certificate as PDF and XML from one document model.
 * It renders even when the check has stops, so that people can look at what is missing: every page then carries a band that
 * says so. Whoever issues must refuse while `check.stops` is not empty.
 * It works without yielding, about 40 ms a certificate once warm; a batch should give the event loop a turn between two, or
 * the compiler's memory is not given back.
 * @throws Fault `log.invalid` where the log does not begin with `run-opened`.
 */
export const renderCertificate = ({ log, result, issued, validation }: CertificateInput): RenderedCertificate => {
  const found = checkBeforeIssue({ log, result, issued, ...(validation === undefined ? {} : { validation }) });
  const document = certificateDocument({
    log,
    result,
    issued,
    language: "en",
    logHash: logHash(log),
    fit: found.stops.length === 0,
  });
  const xml = dccXml(document);
  const { pdf, warnings } = renderPdf(document, xml);
  return { pdf, xml, document, check: { stops: found.stops, warnings: [...found.warnings, ...warnings] } };
};
