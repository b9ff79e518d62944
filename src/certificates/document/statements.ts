import type { Job, Result, RunEvent } from "#calibration";
import { globalRiskStatements } from "./global-risk-statement.ts";
import type { Statement } from "./model.ts";
import { closingText, onSiteDeviations } from "./on-site.ts";
import { eventsOf } from "./opened-run.ts";
import { ruleText } from "./rule-text.ts";
import { withinScope } from "./scope.ts";
import { decimal } from "./typeset.ts";
import type { Writing } from "./writing.ts";

/** What a statement is written from. */
interface StatementContext {
  readonly log: readonly RunEvent[];
  readonly job: Job;
  readonly result: Result;
  readonly writing: Writing;
}

const traceability = ({ kit }: Job, { words }: Writing): string => {
  const { reference, readout } = kit;
  const { accreditation } = reference.calibration;
  const who = accreditation === undefined ? "" : ` (${accreditation})`;
  return words.statements.traceability({
    reference: reference.serial,
    referenceCertificate: reference.calibration.certificate,
    referenceDay: words.paper.day(reference.calibration.date),
    referenceLaboratory: `${reference.calibration.laboratory}${who}`,
    readout: readout.serial,
    readoutCertificate: readout.calibration.certificate,
    readoutDay: words.paper.day(readout.calibration.date),
    readoutLaboratory: readout.calibration.laboratory,
  });
};

const uncertainty = ({ procedure }: Job, { words, set }: Writing): string => {
  const coverage = set.unit(decimal(procedure.coverage * 100), "%");
  return procedure.ramp === undefined
    ? words.statements.uncertainty(coverage)
    : words.statements.uncertaintyOfSwitch(coverage);
};

const deviationsOf = ({ log, job, result, writing }: StatementContext): readonly string[] => {
  const { deviations: said } = writing.words.statements;
  const sentences: string[] = [];
  if (result.outcome === "stopped" || result.outcome === "failed")
    sentences.push(said.ended(result.outcome, eventsOf(log, "run-ended").at(-1)?.reason ?? null));
  const rejected = eventsOf(log, "reading-rejected").length;
  if (rejected > 0) sentences.push(said.rejected(rejected));
  sentences.push(...onSiteDeviations(result, job, log, writing));
  for (const { tag, passes } of result.items) {
    for (const { pass, points, switch: ofSwitch } of passes) {
      if (ofSwitch?.sweeps.some(({ status }) => status !== "changed") === true) sentences.push(said.ramps(tag, pass));
      if (points.some((point) => point.status !== "measured")) sentences.push(said.points(tag, pass));
    }
  }
  return sentences;
};

/** What the customer supplied, and that it is theirs (ISO/IEC 17025:2017, 7.8.2.2). */
const customerData = ({ items }: Job, { words }: Writing): string => {
  const { customerThings: things, customerData: said } = words.statements;
  return said(
    words.paper.and([
      things.tag,
      ...(items.some(({ place }) => place !== undefined) ? [things.place] : []),
      ...(items.some(({ range }) => range !== undefined) ? [things.range] : []),
      things.tolerance,
    ]),
  );
};

/** The accreditation, where all results lie within its scope; that they do not, where some lie outside (ILAC-P8, from memory). */
const accreditation = ({
  job,
  result,
  writing,
}: StatementContext): readonly Pick<Statement, "id" | "clause" | "text">[] => {
  const { accreditation: text } = job.laboratory;
  const within = withinScope(job, result);
  if (text === undefined || within === null) return [];
  const said = writing.words.statements.accreditation;
  return [{ id: "accreditation", clause: "ILAC-P8", text: within ? said.within(text) : said.outside }];
};

/** The statements that ISO/IEC 17025:2017 asks for, each with its clause. */
export const statementsOf = (context: StatementContext): readonly Statement[] => {
  const { job, result, writing } = context;
  const said = writing.words.statements;
  const rule = ruleText(job.procedure.decision, writing);
  const deviations = deviationsOf(context);
  const undecided = result.items.some((item) =>
    item.passes.some((pass) =>
      pass.points.some((point) => point.status === "measured" && point.conformity?.decision === "undecided"),
    ),
  );
  const headed = (statement: Omit<Statement, "heading">): Statement => ({
    ...statement,
    heading: said.headings[statement.id],
  });
  return [
    headed({ id: "uncertainty", clause: "7.8.4.1 a", text: uncertainty(job, writing) }),
    headed({ id: "stability", clause: "7.8.4.1 a", text: said.stability }),
    headed({
      id: "decision-rule",
      clause: "7.8.6",
      text: said.conformity(`${rule.text}${undecided ? ` ${said.undecided}` : ""}`),
    }),
    ...globalRiskStatements(job, result, writing),
    headed({
      id: "deviations",
      clause: "7.8.2.1 n",
      text: deviations.length === 0 ? said.deviations.none : deviations.join(" "),
    }),
    headed({ id: "customer-data", clause: "7.8.2.2", text: customerData(job, writing) }),
    ...accreditation(context).map(headed),
    headed({ id: "scope", clause: "7.8.2.1 l", text: said.scope }),
    headed({ id: "reproduction", clause: "7.8.2.1", text: said.reproduction }),
  ];
};

/** The statement of traceability (ISO/IEC 17025:2017, 7.8.4.1 c), which stands with the equipment. */
export const traceabilityStatement = ({ log, job, result, writing }: StatementContext): Statement => ({
  id: "traceability",
  clause: "7.8.4.1 c",
  heading: writing.words.statements.headings.traceability,
  text: `${traceability(job, writing)}${closingText(result, job, log, writing)}`,
});
