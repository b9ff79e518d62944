import type { ClosingCheck, Hysteresis, Job, PassResult, Result, RunEvent } from "#calibration";
import { reported } from "#quantity";
import { equipmentOf } from "./conditions.ts";
import type { Equipment } from "./model.ts";
import { eventsOf, openedRun } from "./opened-run.ts";
import { decimal, significant } from "./typeset.ts";
import type { Writing } from "./writing.ts";

/** Kit with which the run was begun, and behind it every entry that took another's place. */
export const equipmentUsed = (log: readonly RunEvent[], writing: Writing): readonly Equipment[] => {
  const { kit } = openedRun(log).job;
  const replaced = eventsOf(log, "kit-replaced").flatMap(({ reference, readout, source }) =>
    (["reference", "readout", "source"] as const).flatMap((role) => {
      const entry = { reference, readout, source }[role];
      if (entry === undefined) return [];
      return equipmentOf({ ...kit, [role]: entry }, writing)
        .filter((each) => each.role === role)
        .map((each) => ({ ...each, roleText: writing.words.conditions.replacedRole(each.roleText) }));
    }),
  );
  return [...equipmentOf(kit, writing), ...replaced];
};

/** A difference with its U, rounded as results are (ILAC-P14). */
const differenceText = (difference: number, U: number, { set }: Writing): string => {
  const rounded = reported(difference, U);
  return rounded.ok
    ? `${set.unit(rounded.value.value, "K")} ± ${set.unit(rounded.value.U, "K")}`
    : `${set.unit(significant(difference, 4), "K")} ± ${set.unit(significant(U, 4), "K")}`;
};

const figure = (value: number, { set }: Writing): string => set.unit(decimal(Number(value.toPrecision(4))), "K");

const firstPointText = (check: ClosingCheck, pass: PassResult, job: Job, writing: Writing): string => {
  const { check: said } = writing.words.results;
  const name = writing.words.paper.passNames[pass.pass].toLowerCase();
  if (check.status === "not-done") return said.firstNotMade(name);
  const each = check.differences
    .map(({ item, difference, U }) => {
      const tag = job.items.find(({ id }) => id === item)?.tag ?? "";
      return `${tag} ${differenceText(difference.value, U, writing)}`;
    })
    .join(", ");
  const limit = figure(check.limit, writing);
  return check.status === "failed" ? said.firstFailed(name, each, limit) : said.firstHolds(name, each, limit);
};

/**
 * What a closing check showed. The evaluation says it in English; for the other languages the sentence is made anew from the
 * same figures.
 */
export const checkText = (check: ClosingCheck, job: Job, log: readonly RunEvent[], writing: Writing): string => {
  if (writing.language === "en") return check.statement;
  const { check: said, inEnglish } = writing.words.results;
  const plan = job.procedure.closingCheck;
  const [found] = check.differences;
  if (check.status === "not-done" || found === undefined || plan === undefined) {
    const skipped = eventsOf(log, "check-skipped").at(-1);
    if (skipped !== undefined) return said.leftOut(`${skipped.reason} (${skipped.by})`);
    return check.temperature === null && eventsOf(log, "check-measured").length === 0
      ? said.notMade
      : inEnglish(check.statement);
  }
  const { serial } = check.reference;
  const difference = differenceText(found.difference.value, found.U, writing);
  const limit = figure(check.limit, writing);
  const holds = check.status === "holds";
  const weak = holds && found.U > check.limit ? said.weak : "";
  if (plan.kind !== "check-thermometer")
    return `${holds ? said.iceHolds(serial, difference, limit) : said.iceFailed(serial, difference, limit)}${weak}`;
  const beside = said.besideOf(plan.serial, plan.certificate);
  return `${holds ? said.besideHolds(serial, difference, limit, beside) : said.besideFailed(serial, difference, limit, beside)}${weak}`;
};

/** The check at the first point of one pass. */
const passCheckText = (check: ClosingCheck, pass: PassResult, job: Job, writing: Writing): string =>
  writing.language === "en" ? check.statement : firstPointText(check, pass, job, writing);

const hysteresisText = ({ nominal, difference, U }: Hysteresis, { words, set }: Writing): string => {
  const kelvin = (value: number): string => set.unit(significant(value, 2), "K");
  return words.results.hysteresis(set.unit(decimal(nominal), "°C"), kelvin(difference.value), kelvin(U));
};

/** What a pass shows of the way in which its points were reached: hysteresis, points that were added, its own check. */
export const wayRemarks = (pass: PassResult, job: Job, writing: Writing): readonly string[] => [
  ...(pass.hysteresis ?? []).map((each) => hysteresisText(each, writing)),
  ...pass.points.flatMap((point) =>
    point.status === "measured" && point.added !== undefined
      ? [writing.words.results.added(writing.set.unit(decimal(point.nominal), "°C"), point.added)]
      : [],
  ),
  ...(pass.check === undefined ? [] : [passCheckText(pass.check, pass, job, writing)]),
];

/** Deviations that a run brought with it: kit that was replaced, and a closing check that failed or was not made. */
export const onSiteDeviations = (
  { kitChanges = [], closingCheck }: Result,
  job: Job,
  log: readonly RunEvent[],
  writing: Writing,
): readonly string[] => [
  ...kitChanges.map(({ role, from, to, reason }) =>
    writing.words.statements.deviations.kitChange(role, from.serial, to.serial, reason),
  ),
  ...(closingCheck === undefined || closingCheck.status === "holds"
    ? []
    : [checkText(closingCheck, job, log, writing)]),
];

/** A closing check that holds is part of the evidence that the reference is what its certificate says. */
export const closingText = ({ closingCheck }: Result, job: Job, log: readonly RunEvent[], writing: Writing): string =>
  closingCheck?.status === "holds" ? ` ${checkText(closingCheck, job, log, writing)}` : "";
