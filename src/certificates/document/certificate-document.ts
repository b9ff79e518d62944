import type { Job, Party, Result, RunEvent, RunOpened } from "#calibration";
import { certificateNumber } from "./certificate-number.ts";
import { conditionFacts, influencesOf } from "./conditions.ts";
import { labels, passNames, previewBand, rehearsalBand, ruleText, title, unfitBand } from "./english.ts";
import { factsOf } from "./facts.ts";
import { itemSection } from "./item-section.ts";
import type { CertificateDocument, IssueData, ItemSection, Language, PartyText, SummaryRow } from "./model.ts";
import { equipmentUsed } from "./on-site.ts";
import { openedRun, performanceDays } from "./opened-run.ts";
import { statementsOf, traceabilityStatement } from "./statements.ts";
import { decimal } from "./typeset.ts";

export interface DocumentInput {
  readonly log: readonly RunEvent[];
  readonly result: Result;
  readonly issued: IssueData;
  readonly language: Language;
  /** SHA-256 of the log, as `logHash` gives it. */
  readonly logHash: string;
  /** Whether the check before issue found no stop; otherwise every page says so. */
  readonly fit: boolean;
}

/** A party's texts. An accreditation belongs to laboratories only. */
const partyText = (party: Party & { accreditation?: string | undefined }): PartyText => ({
  name: party.name,
  lines: party.address,
  contact: party.contact ?? null,
  accreditation: party.accreditation ?? null,
  country: party.country ?? null,
});

const bandsOf = (opened: RunOpened, issued: IssueData, fit: boolean): readonly string[] => [
  ...(opened.job.rehearsal || opened.seed !== null ? [rehearsalBand] : []),
  ...(issued.preview === true ? [previewBand] : []),
  ...(fit ? [] : [unfitBand]),
];

const summaryOf = (items: readonly ItemSection[]): readonly SummaryRow[] =>
  items.map((item) => ({
    tag: item.tag,
    description: item.description,
    serial: item.serial,
    outcomes: item.passes.map((pass) => ({ heading: passNames[pass.pass], decision: pass.decision })),
  }));

const sectionsOf = (log: readonly RunEvent[], job: Job, result: Result): readonly ItemSection[] =>
  result.items.flatMap((itemResult) => {
    const item = job.items.find((candidate) => candidate.id === itemResult.item);
    return item === undefined ? [] : [itemSection(log, job, item, itemResult)];
  });

const recordOf = (opened: RunOpened, logHash: string): CertificateDocument["record"] => ({
  run: opened.run,
  job: opened.job.job,
  logHash,
  software: opened.software,
  facts: factsOf([
    ["Run", opened.run],
    ["Job", opened.job.job],
    ["Opened", `${opened.opened} (UTC)`],
    ["Software", `${opened.software.name} ${opened.software.version}`],
    ["Seed of the bench", opened.seed === null ? null : String(opened.seed)],
    ["SHA-256 of the run log", logHash],
  ]),
});

/**
 * A run's result as a whole certificate: every text, row and mark decided here, so that the renderers decide nothing.
 * Figures come as they were reported by the evaluation; none is worked out.
 * Contents follow ISO/IEC 17025:2017, 7.8.2, 7.8.4 and 7.8.6. No interval to the next calibration is stated (7.8.4.3).
 * @throws Fault `log.invalid` where the log does not begin with `run-opened`.
 */
export const certificateDocument = ({
  log,
  result,
  issued,
  language,
  logHash,
  fit,
}: DocumentInput): CertificateDocument => {
  const opened = openedRun(log);
  const { job } = opened;
  const { begun, ended } = performanceDays(opened, result);
  const items = sectionsOf(log, job, result);
  const number = certificateNumber(job, issued);
  const rule = ruleText(job.procedure.decision).name;
  return {
    format: "dwellpoint-certificate/1",
    language,
    title,
    number,
    bands: bandsOf(opened, issued, fit),
    rehearsal: job.rehearsal || opened.seed !== null,
    laboratory: partyText(job.laboratory),
    customer: partyText(job.customer),
    place: job.place,
    dates: { begun, ended, issued: issued.date },
    facts: factsOf([
      ["Date of calibration", begun === ended ? begun : `${begun} to ${ended}`],
      ["Date of issue", issued.date],
      ["Place of calibration", job.place],
      ["Method", `${job.procedure.method.identifier}, revision ${job.procedure.method.revision}`],
      ["Job", `${job.job}: ${job.title}`],
    ]),
    summary: summaryOf(items),
    summaryNote: `The worst decision over the points of each pass, under the rule "${rule}", which the section Statements describes.`,
    method: job.procedure.method,
    items,
    conditions: conditionFacts(job),
    influences: influencesOf(job),
    equipment: equipmentUsed(log),
    statements: [traceabilityStatement(job, result), ...statementsOf(log, job, result)],
    people: { technician: job.technician, authorisedBy: issued.authorisedBy ?? job.authorisedBy ?? "" },
    coverage: decimal(job.procedure.coverage),
    rule: { kind: job.procedure.decision.kind, name: rule },
    record: recordOf(opened, logHash),
    labels,
  };
};
