import type { Job } from "#calibration";
import { agreedDue } from "./agreed-due.ts";
import { isDay } from "./calendar.ts";
import { certificateNumber } from "./certificate-number.ts";
import type { CheckInput } from "./check-input.ts";
import type { Finding } from "./model.ts";
import { correctedJob } from "./corrected-job.ts";
import { openedRun, performanceDays } from "./opened-run.ts";
import { withinScope } from "./scope.ts";

const blank = (text: string | undefined): boolean => text === undefined || text.trim() === "";
const blankLines = (lines: readonly string[]): boolean => lines.every(blank);

/** A sentence when something is missing. */
const when = (missing: boolean, clause: string, message: string): readonly Finding[] =>
  missing ? [{ clause, message }] : [];

/** Words that speak of a next calibration, in the languages of certificates. */
const intervalWords =
  /\b(?:next calibration|recalibrat\w*|re-calibrat\w*|calibration (?:is )?due|calibration interval|n[äa]chste Kalibrierung|Rekalibrier\w*|Kalibrierintervall|pr[óo]xima calibraci[óo]n|recalibraci[óo]n|prochain [ée]talonnage|r[ée][ée]talonnage)/i;

const identityStops = ({ log, issued }: CheckInput): readonly Finding[] =>
  correctedJob(openedRun(log).job, issued).items.flatMap((item) =>
    when(
      blank(item.tag) || blank(item.serial) || blank(item.description),
      "7.8.2.1 g",
      `Item ${item.id} is not identified beyond doubt. Give its tag, serial number and description in the job.`,
    ),
  );

/** What an amended certificate must say of the one that it replaces (7.8.8). */
const amendmentStops = ({ log, issued }: CheckInput): readonly Finding[] => {
  const { amends } = issued;
  if (amends === undefined) return [];
  const number = certificateNumber(openedRun(log).job, issued);
  return [
    ...when(
      amends.number === number,
      "7.8.8",
      `The amended certificate has the number of the one that it replaces, ${amends.number}. Give it a number of its own.`,
    ),
    ...when(
      blank(amends.reason),
      "7.8.8",
      `No reason is given for the amendment to ${amends.number}. Say why it is amended.`,
    ),
    ...when(
      isDay(amends.date) && isDay(issued.date) && issued.date < amends.date,
      "7.8.8",
      `The amendment would be dated ${issued.date}, before the certificate that it replaces, ${amends.date}. Give a later day.`,
    ),
  ];
};

/** Corrections that lead nowhere would be lost without a word (7.8.8). */
const correctionStops = ({ log, issued }: CheckInput): readonly Finding[] => {
  const { items } = openedRun(log).job;
  return (issued.corrections ?? []).flatMap(({ field, item }) =>
    when(
      field.startsWith("item.") && !items.some(({ id }) => id === item),
      "7.8.8",
      `A correction of ${field} names the item ${item ?? "(none)"}, which the job does not have. Name one of ${items.map(({ id }) => id).join(", ")}.`,
    ),
  );
};

/** No next calibration unless it was agreed (7.8.4.3). */
const intervalStops = ({ log, result, issued }: CheckInput): readonly Finding[] => {
  const job = correctedJob(openedRun(log).job, issued);
  const { ended } = performanceDays(openedRun(log), result);
  const due = agreedDue(job, issued, ended);
  if (due === null) {
    return when(
      intervalWords.test(job.conditions.remarks ?? ""),
      "7.8.4.3",
      "The remarks of the job speak of the next calibration, and no interval is agreed. Leave the remarks off the certificate at issue, or state there with whom the interval was agreed.",
    );
  }
  return [
    ...when(
      blank(due.agreedWith),
      "7.8.4.3",
      "A next calibration is to stand on the certificate, but nobody is named with whom it was agreed. Name them.",
    ),
    ...when(
      !isDay(due.date) || due.date <= ended,
      "7.8.4.3",
      `The next calibration "${due.date}" is not a day after the end of this one, ${ended}. Give it as year-month-day.`,
    ),
  ];
};

const dateStops = ({ log, result, issued }: CheckInput): readonly Finding[] => {
  const { ended } = performanceDays(openedRun(log), result);
  const day = isDay(issued.date);
  return [
    ...when(
      !day,
      "7.8.2.1 j",
      `The date of issue "${issued.date}" is not a day. Give it as year-month-day, for example 2026-03-31.`,
    ),
    ...when(
      day && issued.date < ended,
      "7.8.2.1 j",
      `The date of issue ${issued.date} lies before the end of the calibration, ${ended}. Give a date of issue on or after that day.`,
    ),
    ...when(
      result.outcome === "open",
      "7.8.2.1 i",
      "The run has not ended, so the dates of the calibration are not settled. End the run before a certificate is issued.",
    ),
  ];
};

/** What must stand on the paper whatever was measured: ISO/IEC 17025:2017, 7.8.2.1 a to o. */
export const paperStops = (input: CheckInput): readonly Finding[] => {
  const { log, result, issued } = input;
  const opened = openedRun(log);
  const job = correctedJob(opened.job, issued);
  const { method } = job.procedure;
  return [
    ...when(
      result.run !== opened.run,
      "7.11",
      `The result belongs to run ${result.run} and the log to run ${opened.run}. Evaluate this log and certify its own result.`,
    ),
    ...when(
      blank(job.laboratory.name) || blankLines(job.laboratory.address),
      "7.8.2.1 b",
      "The laboratory is not named with its address. Give laboratory.name and laboratory.address in the job.",
    ),
    ...when(blank(job.place), "7.8.2.1 c", "The place of the calibration is missing. Give place in the job."),
    ...when(
      blank(certificateNumber(job, issued)),
      "7.8.2.1 d",
      "The certificate has no number. Give one with --number.",
    ),
    ...when(
      blank(job.customer.name) || blankLines(job.customer.address),
      "7.8.2.1 e",
      "The customer is not named with an address. Give customer.name and customer.address in the job.",
    ),
    ...when(
      blank(method.identifier) || blank(method.revision) || blank(method.title),
      "7.8.2.1 f",
      "The method is not identified. Give procedure.method with identifier, revision and title in the job.",
    ),
    ...identityStops(input),
    ...dateStops(input),
    ...amendmentStops(input),
    ...correctionStops(input),
    ...intervalStops(input),
    ...when(
      blank(issued.authorisedBy ?? job.authorisedBy),
      "7.8.2.1 o",
      "Nobody is named who authorises the certificate. Give authorisedBy in the job, or the name at issue.",
    ),
  ];
};

/** Conditions that a reader needs to judge a result, where the job leaves them out (7.8.4.1 b). */
const influenceWarnings = ({ items, kit }: Job): readonly Finding[] => [
  ...when(
    kit.reference.immersion === undefined || items.some(({ immersion }) => immersion === undefined),
    "7.8.4.1 b",
    "The job does not say how deep the reference and every item were immersed, and in a source the depth influences the result. Give immersion in the job; without it the certificate is silent there.",
  ),
  ...items.flatMap(({ tag, sensor, coldJunction }) =>
    when(
      sensor.kind === "thermocouple" && coldJunction === undefined,
      "7.8.4.1 b",
      `The job does not say how the reference junction of ${tag} was known. Give coldJunction in the job.`,
    ),
  ),
];

/** Who must not be lost sight of: the accreditation, where it cannot be referred to (ILAC-P8, from memory). */
const accreditationWarnings = ({ log, result, issued }: CheckInput): readonly Finding[] => {
  const job = correctedJob(openedRun(log).job, issued);
  if (job.laboratory.accreditation === undefined) return [];
  const within = withinScope(job, result);
  return [
    ...when(
      within === null,
      "ILAC-P8",
      "The laboratory is accredited, but the job does not state its capability, so it cannot be seen whether the results lie within the scope. The certificate does not refer to the accreditation. Give laboratory.capability in the job.",
    ),
    ...when(
      within === false,
      "ILAC-P8",
      "Not every result lies within the laboratory's capability. The certificate does not refer to the accreditation, and says which results lie outside.",
    ),
  ];
};

/** What the person who authorises should look at. */
export const paperWarnings = (input: CheckInput): readonly Finding[] => {
  const { log, result, issued } = input;
  const opened = openedRun(log);
  const { seed } = opened;
  const job = correctedJob(opened.job, issued);
  const unasked = agreedDue(job, issued, performanceDays(opened, result).ended) === null;
  const texts = job.items.flatMap((item) => [item.description, item.condition ?? ""]);
  const authorisedBy = issued.authorisedBy ?? job.authorisedBy;
  return [
    ...when(
      unasked && texts.some((text) => intervalWords.test(text)),
      "7.8.4.3",
      "The description or condition of an item speaks of a next calibration. A certificate recommends no interval unless the customer agreed; make sure that the words only tell what was found on the item.",
    ),
    ...when(
      authorisedBy !== undefined && authorisedBy === job.technician,
      "7.8.1.1",
      `${job.technician} both measured and authorises. Results are reviewed before release; let a second person do it where there is one.`,
    ),
    ...when(
      job.items.some((item) => blank(item.condition)),
      "7.8.2.1 g",
      "The condition as received is not described for every item. Give condition for each item in the job.",
    ),
    ...when(
      blank(job.customer.contact),
      "7.8.2.1 e",
      "The customer has no contact in the job. Give customer.contact, so that the results reach a person.",
    ),
    ...when(
      job.laboratory.country === undefined,
      "DCC 3.3.0",
      "The job does not say in which country the laboratory is, so the XML states ZZ (unknown). Give laboratory.country in the job.",
    ),
    ...when(
      seed !== null && !job.rehearsal,
      "7.8.1.2",
      "The run was made on a simulated bench, although its job is not called a rehearsal. The certificate carries the rehearsal band all the same.",
    ),
    ...influenceWarnings(job),
    ...accreditationWarnings(input),
  ];
};
