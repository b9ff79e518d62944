import { Fault } from "#fault";
import type { Pass, Result, RunEvent, RunEventOf, RunOpened, SettlingEvidence } from "#calibration";
import { dayAfter } from "./calendar.ts";

/** The first line of a log, which holds the job as it was frozen. @throws Fault `log.invalid` */
export const openedRun = (log: readonly RunEvent[]): RunOpened => {
  const [first] = log;
  if (first?.kind === "run-opened") return first;
  throw new Fault(
    "log.invalid",
    "The log does not begin with run-opened, so there is no job to certify. Give the whole run log.",
  );
};

/** UTC days on which the run began and ended. */
export const performanceDays = (opened: RunOpened, result: Result): { begun: string; ended: string } => ({
  begun: dayAfter(opened.opened, 0),
  ended: dayAfter(opened.opened, result.duration),
});

/** The evidence on which a point was held to be ready: the last one given, because a repeated point gives another. */
export const settlingEvidence = (
  log: readonly RunEvent[],
  pass: Pass,
  point: number,
  item: string,
): SettlingEvidence | null => {
  const event = log.findLast(
    (candidate): candidate is RunEventOf<"point-settled"> =>
      candidate.kind === "point-settled" &&
      candidate.pass === pass &&
      candidate.point === point &&
      candidate.item === item,
  );
  return event?.evidence ?? null;
};

/** Events of one kind, in order. */
export const eventsOf = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): readonly RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);
