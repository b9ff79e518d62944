import type { Job, Party, Result, RunEvent, RunOpened } from "#calibration";
import { agreedDue } from "./agreed-due.ts";
import { withAmendment } from "./amendment.ts";
import { certificateNumber } from "./certificate-number.ts";
import { conditionFacts, influencesOf } from "./conditions.ts";
import { correctedJob } from "./corrected-job.ts";
import { factsOf } from "./facts.ts";
import { languagesOf, type IssueData, type Language } from "./issue-data.ts";
import { itemSection } from "./item-section.ts";
import type { CertificateDocument, ItemSection, PartyText, SummaryRow } from "./model.ts";
import { equipmentUsed } from "./on-site.ts";
import { openedRun, performanceDays } from "./opened-run.ts";
import { ruleText } from "./rule-text.ts";
import { withinScope } from "./scope.ts";
import { statementsOf, traceabilityStatement } from "./statements.ts";
import { decimal } from "./typeset.ts";
import { writingIn, type Writing } from "./writing.ts";

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

/** A party's texts. An accreditation belongs to laboratories only, and to results within its scope only. */
const partyText = (party: Party, accreditation: string | null): PartyText => ({
  name: party.name,
  lines: party.address,
  contact: party.contact ?? null,
  accreditation,
  country: party.country ?? null,
});

const bandsOf = (opened: RunOpened, issued: IssueData, fit: boolean, { words }: Writing): readonly string[] => {
  const { bands, day } = words.paper;
  const { fate } = issued;
  return [
    ...(fate === undefined
      ? []
      : [
          fate.kind === "withdrawn"
            ? bands.withdrawn(day(fate.date), fate.reason)
            : bands.replaced(fate.number, day(fate.date)),
        ]),
    ...(opened.job.rehearsal || opened.seed !== null ? [bands.rehearsal] : []),
    ...(issued.preview === true ? [bands.preview] : []),
    ...(fit ? [] : [bands.unfit]),
  ];
};

const summaryOf = (items: readonly ItemSection[]): readonly SummaryRow[] =>
  items.map((item) => ({
    tag: item.tag,
    description: item.description,
    serial: item.serial,
    outcomes: item.passes.map((pass) => ({ heading: pass.short, decision: pass.decision })),
  }));

const recordOf = (opened: RunOpened, logHash: string, { words }: Writing): CertificateDocument["record"] => {
  const { record: said } = words.paper;
  return {
    run: opened.run,
    job: opened.job.job,
    logHash,
    software: opened.software,
    facts: factsOf([
      [said.run, opened.run],
      [said.job, opened.job.job],
      [said.opened, said.utc(opened.opened)],
      [said.software, `${opened.software.name} ${opened.software.version}`],
      [said.seed, opened.seed === null ? null : String(opened.seed)],
      [said.hash, logHash],
    ]),
  };
};

/** The facts at the head of the first page. */
const headFacts = (job: Job, dates: CertificateDocument["dates"], agreedWith: string, { words }: Writing) => {
  const { facts: said, day } = words.paper;
  const { begun, ended, issued, due } = dates;
  const { identifier, revision } = job.procedure.method;
  return factsOf([
    [said.calibrated, begun === ended ? day(begun) : said.period(day(begun), day(ended))],
    [said.issued, day(issued)],
    [said.place, job.place],
    [said.method, said.methodOf(identifier, revision)],
    [said.job, `${job.job}: ${job.title}`],
    [said.due, due === null ? null : said.dueAgreed(day(due), agreedWith)],
  ]);
};

/** The certificate without what an amendment adds to it. */
const plainDocument = (input: DocumentInput, writing: Writing): CertificateDocument => {
  const { log, result, issued, language, logHash, fit } = input;
  const { words } = writing;
  const opened = openedRun(log);
  const job = correctedJob(opened.job, issued);
  const { begun, ended } = performanceDays(opened, result);
  const due = agreedDue(job, issued, ended);
  const received =
    job.items
      .map((item) => item.received ?? "")
      .toSorted()
      .at(-1) ?? "";
  const dates = { begun, ended, issued: issued.date, received: received || null, due: due?.date ?? null };
  const items = result.items.flatMap((each): readonly ItemSection[] => {
    const item = job.items.find((candidate) => candidate.id === each.item);
    return item === undefined ? [] : [itemSection(item, each, { log, job, result, writing })];
  });
  const rule = ruleText(job.procedure.decision, writing).name;
  const [binding] = languagesOf(issued);
  const within = withinScope(job, result) === true;
  return {
    format: "dwellpoint-certificate/1",
    language,
    title: words.paper.title,
    number: certificateNumber(job, issued),
    translation: language === binding ? null : words.paper.translation(words.paper.languages[binding]),
    amendment: null,
    bands: bandsOf(opened, issued, fit, writing),
    rehearsal: job.rehearsal || opened.seed !== null,
    laboratory: partyText(job.laboratory, within ? (job.laboratory.accreditation ?? null) : null),
    customer: partyText(job.customer, null),
    place: job.place,
    dates,
    issuedText: words.paper.day(issued.date),
    facts: headFacts(job, dates, due?.agreedWith ?? "", writing),
    summary: summaryOf(items),
    summaryNote: words.paper.summaryNote(rule),
    method: job.procedure.method,
    items,
    conditions: conditionFacts(job, writing),
    influences: influencesOf(job, writing),
    equipment: equipmentUsed(log, writing),
    statements: [traceabilityStatement({ log, job, result, writing }), ...statementsOf({ log, job, result, writing })],
    people: { technician: job.technician, authorisedBy: issued.authorisedBy ?? job.authorisedBy ?? "" },
    coverage: decimal(job.procedure.coverage),
    rule: { kind: job.procedure.decision.kind, name: rule },
    record: recordOf(opened, logHash, writing),
    labels: words.paper.labels,
    data: words.data,
  };
};

/**
 * A run's result as a whole certificate in one language: every text, row and mark decided here, so that the renderers decide
 * nothing. Figures come as they were reported by the evaluation; none is worked out.
 * Contents follow ISO/IEC 17025:2017, 7.8.2, 7.8.4, 7.8.6 and 7.8.8. No interval to the next calibration is stated unless it
 * was agreed (7.8.4.3).
 * @throws Fault `log.invalid` where the log does not begin with `run-opened`.
 */
export const certificateDocument = (input: DocumentInput): CertificateDocument => {
  const writing = writingIn(input.language);
  const document = plainDocument(input, writing);
  const { amends } = input.issued;
  if (amends === undefined) return document;
  const { number: _number, date, authorisedBy: _authorisedBy, corrections: _c, interval: _i, ...rest } = input.issued;
  const was: IssueData = {
    ...rest,
    withoutRemarks: undefined,
    ...amends.terms,
    number: amends.number,
    date,
    authorisedBy: amends.authorisedBy,
  };
  const before = plainDocument({ ...input, issued: was }, writing);
  return withAmendment(document, before, { ...input.issued, amends }, writing);
};
