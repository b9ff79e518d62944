import { runEventSchema, type EventDraft, type RunEvent } from "#calibration";
import { Fault } from "#fault";

/** Where a log stands: how many events it has, and the time of the last. */
export interface LogEnd {
  readonly events: number;
  readonly at: number;
}

export const emptyLog: LogEnd = { events: 0, at: 0 };

const refused = (n: number, draft: EventDraft, words: string): Fault =>
  new Fault("log.invalid", `${draft.kind} cannot be recorded as line ${n + 1} of the log: ${words}`, {
    data: { n, kind: draft.kind },
  });

/**
 * Drafts as the next events of a log: numbered without a gap, checked against the schema of their kind and against the end
 * of the log (one opening, first; a clock that never falls). What would make the log unreadable later is thrown now, as
 * `log.invalid`.
 */
export const numberEvents = (end: LogEnd, drafts: readonly EventDraft[], run?: string): RunEvent[] => {
  let at = end.at;
  return drafts.map((draft, index) => {
    const n = end.events + index;
    if ((draft.kind === "run-opened") !== (n === 0)) {
      throw refused(n, draft, n === 0 ? "a log begins with run-opened." : "the run is open already.");
    }
    if (draft.kind === "run-opened" && run !== undefined && draft.run !== run)
      throw refused(n, draft, `it opens run ${draft.run}, and this is the log of ${run}.`);
    const checked = runEventSchema.safeParse({ ...draft, n });
    if (!checked.success) {
      const issue = checked.error.issues[0]!;
      throw refused(n, draft, `${issue.path.map(String).join(".")}: ${issue.message}.`);
    }
    if (checked.data.at < at)
      throw refused(
        n,
        draft,
        `its time, ${checked.data.at} s, is before ${at} s of the event above; the run's clock never goes back.`,
      );
    at = checked.data.at;
    return checked.data;
  });
};
