import {
  evaluate,
  type Conformity,
  type Decision,
  type Item,
  type MeasuredChange,
  type MeasuredPoint,
  type Pass,
  type PassResult,
  type Result,
  type RunEvent,
} from "#calibration";
import { Fault } from "#fault";
import { calendarDay } from "#calibration";
import { correctedLog } from "./corrected-log.ts";
import { shareAt } from "./share-at.ts";
import type { Suspicion } from "./suspicion.ts";

/** An error with its U, K, and what was stated of it; null where nothing was. */
interface Statement {
  readonly error: number;
  readonly U: number;
  readonly decision: Decision | null;
}

/** One result, before and after. */
export interface MovedResult {
  readonly item: string;
  readonly tag: string;
  readonly serial: string;
  readonly pass: Pass;
  /** °C. */
  readonly nominal: number;
  readonly what: "error" | "trip" | "reset";
  readonly before: Statement;
  /** Null where it can no longer be evaluated; `reason` says why. */
  readonly after: Statement | null;
  readonly reason: string | null;
  /** Error after minus error before, K. */
  readonly moved: number | null;
  /** |moved| as a share of U before. */
  readonly share: number | null;
  /** `stands`: the same statement; `changes`: another one; `cannot-tell`: there is none after, or none before. */
  readonly statement: "stands" | "changes" | "cannot-tell";
  /** Whether it must be acted upon: its statement does not stand, or it moved by more than the share that counts. */
  readonly act: boolean;
}

/** A run that was evaluated again. */
export interface ReassessedRun {
  readonly run: string;
  readonly opened: string;
  readonly job: string;
  readonly title: string;
  readonly customer: { readonly name: string; readonly contact: string | null };
  readonly place: string;
  /** Share of the correction that was applied, 0 to 1. */
  readonly applied: number;
  readonly results: readonly MovedResult[];
}

interface Stated {
  readonly nominal: number;
  readonly what: MovedResult["what"];
  readonly statement: Statement | null;
  readonly reason: string | null;
}

const stated = (error: number, budget: { readonly U: number }, conformity: Conformity | null): Statement => ({
  error,
  U: budget.U,
  decision: conformity?.decision ?? null,
});

const ofPoint = (point: MeasuredPoint): Statement => stated(point.error.value, point.budget, point.conformity);

const ofChange = (change: MeasuredChange): Statement =>
  stated(change.deviation?.value ?? change.temperature.value, change.budget, change.conformity);

/** Everything that a pass states, each under a key that is the same before and after. */
const statementsOf = ({ points, switch: contact }: PassResult): Map<string, Stated> => {
  const all = new Map<string, Stated>();
  for (const point of points) {
    const measured = point.status === "measured";
    all.set(`point-${point.point}`, {
      nominal: point.nominal,
      what: "error",
      statement: measured ? ofPoint(point) : null,
      reason: measured ? point.conformityNote : point.reason,
    });
  }
  for (const change of contact === undefined ? [] : [contact.rising, contact.falling]) {
    const measured = change.status === "measured";
    all.set(change.direction, {
      nominal: change.nominal ?? (measured ? change.temperature.value : Number.NaN),
      what: change.role,
      statement: measured ? ofChange(change) : null,
      reason: measured ? change.conformityNote : change.reason,
    });
  }
  return all;
};

const compared = (before: Statement, now: Stated | undefined, significant: number) => {
  const after = now?.statement ?? null;
  const moved = after === null ? null : after.error - before.error;
  const share = moved === null ? null : Math.abs(moved) / before.U;
  const statement =
    after === null || (before.decision === null) !== (after.decision === null)
      ? "cannot-tell"
      : before.decision === after.decision
        ? "stands"
        : "changes";
  return {
    before,
    after,
    moved,
    share,
    statement,
    reason: now === undefined ? "It is not in the result any more." : now.reason,
    act: statement !== "stands" || (share !== null && share > significant),
  } as const;
};

const moves = (before: Result, after: Result, items: readonly Item[], significant: number): MovedResult[] =>
  before.items.flatMap((own, index) =>
    own.passes.flatMap((pass) => {
      const later = after.items[index]?.passes.find((each) => each.pass === pass.pass);
      const now = later === undefined ? new Map<string, Stated>() : statementsOf(later);
      return [...statementsOf(pass)].flatMap(([key, { nominal, what, statement }]) =>
        statement === null
          ? []
          : [
              {
                item: own.item,
                tag: own.tag,
                serial: items.find(({ id }) => id === own.item)?.serial ?? "",
                pass: pass.pass,
                nominal,
                what,
                ...compared(statement, now.get(key), significant),
              },
            ],
      );
    }),
  );

/**
 * Evaluates a run as it was recorded and as it would have been had the suspect been right, and lays the two side by side
 * (rules T1 to T7). Both go through the same evaluation; what was stated before is worked out anew from the log.
 *
 * @throws Fault `log.invalid`
 */
export const reassess = (log: readonly RunEvent[], suspicion: Suspicion): ReassessedRun => {
  const [opened] = log;
  if (opened?.kind !== "run-opened")
    throw new Fault("log.invalid", "The log does not begin with the opening of a run.");
  const { job } = opened;
  return {
    run: opened.run,
    opened: opened.opened,
    job: job.job,
    title: job.title,
    customer: { name: job.customer.name, contact: job.customer.contact ?? null },
    place: job.place,
    applied: shareAt(suspicion, calendarDay(opened.opened)).share,
    results: moves(evaluate(log), evaluate(correctedLog(log, suspicion)), job.items, suspicion.significant),
  };
};
