import type { PointValidation, Result, RunEvent } from "#calibration";
import { certificateDocument } from "../document/certificate-document.ts";
import { checkBeforeIssue } from "../document/check-before-issue.ts";
import { languagesOf, type IssueData, type Language } from "../document/issue-data.ts";
import type { CertificateDocument, IssueCheck } from "../document/model.ts";
import { xmlStops } from "../document/verify/check-xml.ts";
import { dccXml } from "./dcc.ts";
import { logHash } from "./log-hash.ts";
import { renderPdf } from "./pdf.ts";
import type { LaboratoryPictures } from "./picture-file.ts";

export interface CertificateInput {
  readonly log: readonly RunEvent[];
  /** The result of exactly this log. */
  readonly result: Result;
  readonly issued: IssueData;
  /** For the check list only; the certificate itself is the same with and without it. */
  readonly validation?: readonly PointValidation[];
  readonly pictures?: LaboratoryPictures | undefined;
}

export interface RenderedCertificate {
  /** PDF/A-3 with the XML attached; the same input gives the same bytes. */
  readonly pdf: Uint8Array;
  /** Digital Calibration Certificate 3.3.0. */
  readonly xml: string;
  /** The certificate in its first language. */
  readonly document: CertificateDocument;
  readonly check: IssueCheck;
}

/** Languages that every XML has besides those that were chosen. */
const always: readonly Language[] = ["en", "de"];

/**
 * Renders a certificate as PDF and XML from one document model, in the languages that were chosen; the first holds where they
 * differ. The XML has English and German in any case.
 * It renders even when the check has stops, so that people can look at what is missing: every page then carries a band that
 * says so. Whoever issues must refuse while `check.stops` is not empty.
 * It works without yielding, about 40 ms a certificate and language once warm; a batch should give the event loop a turn
 * between two, or the compiler's memory is not given back.
 * @throws Fault `log.invalid` where the log does not begin with `run-opened`.
 */
export const renderCertificate = ({
  log,
  result,
  issued,
  validation,
  pictures,
}: CertificateInput): RenderedCertificate => {
  const found = checkBeforeIssue({ log, result, issued, ...(validation === undefined ? {} : { validation }) });
  const hash = logHash(log);
  const fit = found.stops.length === 0;
  const write = (language: Language): CertificateDocument =>
    certificateDocument({ log, result, issued, language, logHash: hash, fit });
  const [binding, ...others] = languagesOf(issued);
  const first = write(binding);
  const further = others.map(write);
  const unprinted = always.filter((language) => language !== binding && !others.includes(language)).map(write);
  const xml = dccXml([first, ...further, ...unprinted]);
  const { pdf, warnings } = renderPdf([first, ...further], xml, pictures);
  return {
    pdf,
    xml,
    document: first,
    check: { stops: [...found.stops, ...xmlStops(xml, first)], warnings: [...found.warnings, ...warnings] },
  };
};
