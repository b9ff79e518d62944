import type { Job, Result, RunEvent } from "#calibration";
import { passExplanations, ruleText, undecidedText } from "./english.ts";
import { globalRiskStatements } from "./global-risk-statement.ts";
import type { Statement } from "./model.ts";
import { closingText, onSiteDeviations } from "./on-site.ts";
import { eventsOf } from "./opened-run.ts";
import { decimal, withUnit } from "./typeset.ts";

const traceability = (job: Job): string => {
  const { reference, readout } = job.kit;
  const who = reference.calibration.accreditation === undefined ? "" : ` (${reference.calibration.accreditation})`;
  return `Temperatures are on the International Temperature Scale of 1990 (ITS-90). The reference temperature was realised by the reference thermometer ${reference.serial}; its coefficients and their uncertainty come from certificate ${reference.calibration.certificate} of ${reference.calibration.date}, ${reference.calibration.laboratory}${who}. Its signal and that of the item were measured with the readout ${readout.serial}, certificate ${readout.calibration.certificate} of ${readout.calibration.date}, ${readout.calibration.laboratory}. Through these unbroken chains of calibrations the results are traceable to the International System of Units (SI).`;
};

const uncertainty = (job: Job): string =>
  job.procedure.ramp === undefined ? uncertaintyOfErrors(job) : uncertaintyOfChanges(job);

const uncertaintyOfChanges = (job: Job): string =>
  `U is the expanded uncertainty of the temperature or dead band in the same row. It is the combined standard uncertainty, worked out as the Guide to the Expression of Uncertainty in Measurement (JCGM 100) lays down, multiplied by the coverage factor k of the row, which gives a coverage probability of about ${withUnit(decimal(job.procedure.coverage * 100), "%")} for its effective degrees of freedom. It holds the contributions of the reference, the readout, the heat source, the time between readings on the ramp, the lag of the switch, and its short-term repeatability; what is common to both changes cancels in the dead band.`;

const uncertaintyOfErrors = (job: Job): string =>
  `U is the expanded uncertainty of the error of the same point. It is the combined standard uncertainty, worked out as the Guide to the Expression of Uncertainty in Measurement (JCGM 100) lays down, multiplied by the coverage factor k of the same row, which gives a coverage probability of about ${withUnit(decimal(job.procedure.coverage * 100), "%")} for the effective degrees of freedom of that point. It holds the contributions of the reference, the readout, the heat source, what was still to settle, and the item's own short-term behaviour and resolution.`;

const stability =
  "The uncertainty belongs to the values at the time and under the conditions of the calibration. It holds no allowance for drift of the item afterwards or for transport.";

const deviationsOf = (log: readonly RunEvent[], result: Result): readonly string[] => {
  const sentences: string[] = [];
  if (result.outcome !== "completed" && result.outcome !== "open") {
    const ended = eventsOf(log, "run-ended").at(-1);
    sentences.push(
      `The run was ${result.outcome === "stopped" ? "stopped" : "broken off"} before its end${ended?.reason === undefined ? "" : ` (${ended.reason})`}.`,
    );
  }
  const rejected = eventsOf(log, "reading-rejected").length;
  if (rejected > 0) {
    sentences.push(
      `${rejected === 1 ? "One reading was" : `${rejected} readings were`} rejected, with the reason in the run log.`,
    );
  }
  sentences.push(...onSiteDeviations(result));
  for (const item of result.items) {
    for (const pass of item.passes) {
      if (pass.switch?.sweeps.some(({ status }) => status !== "changed") === true) {
        sentences.push(
          `${item.tag}: not every ramp of the method has a change ${passExplanations[pass.pass]}; the table of ramps says which.`,
        );
      }
      if (pass.points.some((point) => point.status !== "measured")) {
        sentences.push(
          `${item.tag}: not every point of the method has a result ${passExplanations[pass.pass]}; those without one are named under its table.`,
        );
      }
    }
  }
  return sentences;
};

/** The statements that ISO/IEC 17025:2017 asks for, each with its clause. */
export const statementsOf = (log: readonly RunEvent[], job: Job, result: Result): readonly Statement[] => {
  const rule = ruleText(job.procedure.decision);
  const deviations = deviationsOf(log, result);
  const undecided = result.items.some((item) =>
    item.passes.some((pass) =>
      pass.points.some((point) => point.status === "measured" && point.conformity?.decision === "undecided"),
    ),
  );
  return [
    { id: "uncertainty", clause: "7.8.4.1 a", heading: "Uncertainty", text: uncertainty(job) },
    { id: "stability", clause: "7.8.4.1 a", heading: "Validity in time", text: stability },
    {
      id: "decision-rule",
      clause: "7.8.6",
      heading: "Decision rule",
      text: `Conformity is stated for each point of the tables of results with a decision, against the specification named with the item. ${rule.text}${undecided ? ` ${undecidedText}` : ""}`,
    },
    ...globalRiskStatements(job, result),
    {
      id: "deviations",
      clause: "7.8.2.1 n",
      heading: "Deviations",
      text: deviations.length === 0 ? "None from the method." : deviations.join(" "),
    },
    {
      id: "scope",
      clause: "7.8.2.1 l",
      heading: "Scope of the results",
      text: "The results relate only to the items calibrated, as they are identified in this certificate.",
    },
    {
      id: "reproduction",
      clause: "7.8.2.1",
      heading: "Reproduction",
      text: "This certificate may be reproduced only in full, unless the laboratory that issued it has agreed in writing.",
    },
  ];
};

/** The statement of traceability (ISO/IEC 17025:2017, 7.8.4.1 c), which stands with the equipment. */
export const traceabilityStatement = (job: Job, result: Result): Statement => ({
  id: "traceability",
  clause: "7.8.4.1 c",
  heading: "Traceability",
  text: `${traceability(job)}${closingText(result)}`,
});
