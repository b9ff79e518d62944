import { isDay } from "./calendar.ts";
import { certificateNumber } from "./certificate-number.ts";
import type { CheckInput } from "./check-input.ts";
import type { Finding } from "./model.ts";
import { openedRun, performanceDays } from "./opened-run.ts";

const blank = (text: string | undefined): boolean => text === undefined || text.trim() === "";
const blankLines = (lines: readonly string[]): boolean => lines.every(blank);

/** A sentence when something is missing. */
const when = (missing: boolean, clause: string, message: string): readonly Finding[] =>
  missing ? [{ clause, message }] : [];

const identityStops = ({ log }: CheckInput): readonly Finding[] =>
  openedRun(log).job.items.flatMap((item) =>
    when(
      blank(item.tag) || blank(item.serial) || blank(item.description),
      "7.8.2.1 g",
      `Item ${item.id} is not identified beyond doubt. Give its tag, serial number and description in the job.`,
    ),
  );

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
  const { job } = opened;
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
    ...when(
      blank(issued.authorisedBy ?? job.authorisedBy),
      "7.8.2.1 o",
      "Nobody is named who authorises the certificate. Give authorisedBy in the job, or the name at issue.",
    ),
  ];
};

const intervalWords =
  /\b(next calibration|recalibrat\w*|re-calibrat\w*|calibration (?:is )?due|calibration interval)\b/i;

/** What the person who authorises should look at. */
export const paperWarnings = ({ log, issued }: CheckInput): readonly Finding[] => {
  const { job, seed } = openedRun(log);
  const texts = [
    job.conditions.remarks ?? "",
    ...job.items.flatMap((item) => [item.description, item.condition ?? ""]),
  ];
  const authorisedBy = issued.authorisedBy ?? job.authorisedBy;
  return [
    ...when(
      texts.some((text) => intervalWords.test(text)),
      "7.8.4.3",
      "A text of the job speaks of the next calibration. A certificate recommends no interval unless the customer agreed; take the words out, or make sure of the agreement.",
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
      job.laboratory.country === undefined,
      "DCC 3.3.0",
      "The job does not say in which country the laboratory is, so the XML states ZZ (unknown). Give laboratory.country in the job.",
    ),
    ...when(
      seed !== null && !job.rehearsal,
      "7.8.1.2",
      "The run was made on a simulated bench, although its job is not called a rehearsal. The certificate carries the rehearsal band all the same.",
    ),
  ];
};
