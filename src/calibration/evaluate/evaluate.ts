import type { FaultValue } from "#fault";
import type { Item } from "../job/item.ts";
import type { RunEvent } from "../log/events.ts";
import { logView, type LogView } from "../log/log-view.ts";
import type { ItemResult, KitChange, Result } from "../result/result.ts";
import { closingCheckOf } from "./closing-check.ts";
import { firstPointCheck, withCheck } from "./first-point-check.ts";
import type { Remarks } from "./measure-point.ts";
import { passResult } from "./pass-result.ts";

/** Adjustments of an item added up: each moved the indication from where the one before had left it. */
const adjustmentOf = (view: LogView, item: Item): ItemResult["adjustment"] => {
  const own = view.adjustments.filter((event) => event.item === item.id);
  if (own.length === 0) return null;
  return {
    zero: own.reduce((sum, { zero }) => sum + zero, 0),
    span: own.reduce((sum, { span }) => sum + span, 0),
    origin: own.map(({ n }) => n),
  };
};

/** Coefficients that were loaded for an item: the last ones hold. */
const loadedFor = (view: LogView, item: Item): Pick<ItemResult, "loaded"> => {
  const own = view.loadedCoefficients.findLast((event) => event.item === item.id);
  if (own === undefined) return {};
  return { loaded: { sensor: own.sensor, reason: `${own.reason} (${own.by})`, origin: [own.n] } };
};

const kitChanges = (view: LogView): KitChange[] =>
  view.replacements.flatMap((event) =>
    (["reference", "readout", "source"] as const).flatMap((role) => {
      const to = event[role];
      if (to === undefined) return [];
      const from = view.jobAt(event.n - 1).kit[role];
      const { at, earlier, reason, by, n } = event;
      const names = { from: { id: from.id, serial: from.serial }, to: { id: to.id, serial: to.serial } };
      return [{ role, ...names, at, earlier, reason, by, origin: [n] }];
    }),
  );

/**
 * The check at the first point, in each pass where the procedure plans it. Where it failed, the pass's points are suspect:
 * their figures stand, no conformity is stated (rule C52).
 */
const withFirstPointChecks = (view: LogView, items: readonly ItemResult[]): ItemResult[] => {
  const { job } = view.opened;
  if (job.procedure.closingCheck?.kind !== "first-point") return [...items];
  const passNames = items[0]?.passes.map(({ pass }) => pass) ?? [];
  const checks = new Map(
    passNames.map((pass) => [
      pass,
      firstPointCheck(
        view,
        pass,
        items.map((own, index) => ({
          item: job.items[index]!,
          pass: own.passes.find((each) => each.pass === pass),
        })),
      ),
    ]),
  );
  return items.map((own) => ({
    ...own,
    passes: own.passes.map((pass) => withCheck(pass, checks.get(pass.pass))),
  }));
};

/** Collects what points have to say, each thing once and in the order in which it came up. */
class CollectedRemarks implements Remarks {
  readonly warnings = new Set<string>();
  readonly expired = new Map<string, FaultValue>();

  warn(words: string): void {
    this.warnings.add(words);
  }

  outOfCalibration(fault: FaultValue): void {
    this.expired.set(fault.message, fault);
    this.warnings.add(`${fault.code}: ${fault.message}`);
  }
}

/**
 * The result of a run: a pure function of its log. The same log gives the same result to the last digit, on any machine and
 * at any time; it may be taken while the run is still open. A log that breaks its own format is thrown as `log.invalid`;
 * whatever else cannot be evaluated is flagged at its point, with the reason, and leaves the other points alone.
 * Rules: `src/calibration/RULES.md`.
 */
export const evaluate = (log: readonly RunEvent[]): Result => {
  const view = logView(log);
  const { opened, last, ended } = view;
  const { job } = opened;
  const remarks = new CollectedRemarks();
  for (const { message, reason, by } of opened.overridden ?? [])
    remarks.warn(`It was run although its plan refused it: ${message} The reason: ${reason} (${by}).`);
  for (const { channel, time, n } of view.vainRejections) {
    remarks.warn(`Line ${n + 1} rejects a reading of ${channel} at ${time} s, but there is none.`);
  }
  // A pass that was never begun has no results; the first is always listed, so that its points say why.
  const passes = job.procedure.passes.filter((pass, index) => index === 0 || view.begunPasses.has(pass));
  const items = withFirstPointChecks(
    view,
    job.items.map((item) => ({
      item: item.id,
      tag: item.tag,
      passes: passes.map((pass) => passResult(view, item, pass, remarks)),
      adjustment: adjustmentOf(view, item),
      ...loadedFor(view, item),
    })),
  );
  const closingCheck = closingCheckOf(view);
  for (const check of [closingCheck, ...new Set(items[0]?.passes.map((pass) => pass.check))]) {
    if (check !== undefined && check.status !== "holds" && ended !== undefined) remarks.warn(check.statement);
  }
  const changes = kitChanges(view);
  for (const { role, from, to, reason, by } of changes)
    remarks.warn(
      `The ${role} ${from.serial} was replaced by ${to.serial} in the middle of the run: ${reason} (${by}).`,
    );
  // Where the run was completed, as-left was left out because nothing had been adjusted.
  if (ended !== undefined && ended.outcome !== "completed") {
    for (const pass of job.procedure.passes) {
      if (!passes.includes(pass)) remarks.warn(`The pass ${pass} was planned, but not begun.`);
    }
  }
  return {
    format: "dwellpoint-result/1",
    run: opened.run,
    job: job.job,
    opened: opened.opened,
    duration: last.at,
    outcome: ended?.outcome ?? "open",
    software: opened.software,
    seed: opened.seed,
    rehearsal: job.rehearsal,
    items,
    ...(closingCheck === undefined ? {} : { closingCheck }),
    ...(changes.length === 0 ? {} : { kitChanges: changes }),
    faults: [
      ...view.faults.map(({ code, message, n }) => ({ code, message, origin: [n] })),
      ...[...remarks.expired.values()].map(({ code, message }) => ({ code, message, origin: [0] })),
    ],
    warnings: [...remarks.warnings],
  };
};
