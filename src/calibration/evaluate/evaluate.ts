import type { FaultValue } from "#fault";
import type { Item } from "../job/item.ts";
import type { RunEvent } from "../log/events.ts";
import { logView, type LogView } from "../log/log-view.ts";
import type { ItemResult, Result } from "../result/result.ts";
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
  for (const { channel, time, n } of view.vainRejections) {
    remarks.warn(`Line ${n + 1} rejects a reading of ${channel} at ${time} s, but there is none.`);
  }
  // A pass that was never begun has no results; the first is always listed, so that its points say why.
  const passes = job.procedure.passes.filter((pass, index) => index === 0 || view.begunPasses.has(pass));
  const items = job.items.map((item) => ({
    item: item.id,
    tag: item.tag,
    passes: passes.map((pass) => passResult(view, item, pass, remarks)),
    adjustment: adjustmentOf(view, item),
  }));
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
    faults: [
      ...view.faults.map(({ code, message, n }) => ({ code, message, origin: [n] })),
      ...[...remarks.expired.values()].map(({ code, message }) => ({ code, message, origin: [0] })),
    ],
    warnings: [...remarks.warnings],
  };
};
