import type { Job } from "../job/job.ts";
import { plannedPoints } from "../job/planned-points.ts";
import type { Direction, Pass } from "../job/procedure.ts";
import { ChannelReadings } from "./channel-readings.ts";
import type { RunEvent, RunEventOf, RunOpened } from "./events.ts";
import { jobAfter } from "./job-after.ts";
import type { RunLog } from "./kept-log.ts";
import { checkSequence } from "./parse-log.ts";
import { SweepHistories, type SweepHistory } from "./sweep-history.ts";

/** What the log says about one point of one pass, since it was last begun anew. */
export interface PointHistory {
  /** The window that counts: the last one measured, unless the point was repeated or skipped after it. */
  readonly measured: RunEventOf<"point-measured"> | undefined;
  readonly skipped: RunEventOf<"point-skipped"> | undefined;
  readonly repeated: RunEventOf<"point-repeated"> | undefined;
  /** The last evidence of readiness, by item. */
  readonly settled: ReadonlyMap<string, RunEventOf<"point-settled">>;
  readonly faults: readonly RunEventOf<"fault-seen">[];
}

/** A point of a pass, planned or added. */
export interface PassPoint {
  readonly point: number;
  readonly temperature: number;
  readonly direction?: Direction | undefined;
  /** The event that added it; undefined for a planned one. */
  readonly added?: RunEventOf<"point-added"> | undefined;
}

interface History {
  /** Windows of single items, where each is measured as it becomes ready. */
  windows: Map<string, RunEventOf<"point-measured">>;
  measured: RunEventOf<"point-measured"> | undefined;
  skipped: RunEventOf<"point-skipped"> | undefined;
  repeated: RunEventOf<"point-repeated"> | undefined;
  settled: Map<string, RunEventOf<"point-settled">>;
  faults: RunEventOf<"fault-seen">[];
}

const begun = (repeated?: RunEventOf<"point-repeated">): History => ({
  windows: new Map(),
  measured: undefined,
  skipped: undefined,
  repeated,
  settled: new Map(),
  faults: [],
});

/** A log looked at once, from front to back, so that nobody scans it again: readings by channel, history by point. */
export interface LogView {
  readonly opened: RunOpened;
  readonly last: RunEvent;
  readonly ended: RunEventOf<"run-ended"> | undefined;
  readonly channels: ReadonlyMap<string, ChannelReadings>;
  readonly begunPasses: ReadonlySet<Pass>;
  readonly adjustments: readonly RunEventOf<"item-adjusted">[];
  readonly replacements: readonly RunEventOf<"kit-replaced">[];
  readonly loadedCoefficients: readonly RunEventOf<"coefficients-loaded">[];
  readonly setPoints: readonly RunEventOf<"set-point-commanded">[];
  readonly checks: readonly MadeCheck[];
  readonly skippedChecks: readonly RunEventOf<"check-skipped">[];
  readonly faults: readonly RunEventOf<"fault-seen">[];
  /** Rejections for which no reading was found. */
  readonly vainRejections: readonly RunEventOf<"reading-rejected">[];
  /** `item`: with that item's own window, where it was measured by itself. */
  history(pass: Pass, point: number, item?: string): PointHistory;
  /** What the log says about one ramp of a switch, since it was last begun anew. */
  sweep(pass: Pass, point: number): SweepHistory;
  /** The job as it stood at a log line: kit entries that were replaced and coefficients that were loaded before it hold. */
  jobAt(n: number): Job;
  /** Points of a pass: the planned ones in their order, then the added ones in theirs. */
  points(pass: Pass): readonly PassPoint[];
}

/** One closing check that was measured, with the evidence that it was steady. */
export interface MadeCheck {
  readonly measured: RunEventOf<"check-measured">;
  readonly settled: RunEventOf<"check-settled"> | undefined;
}

const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

const checksOf = (log: readonly RunEvent[]): MadeCheck[] => {
  const settled = ofKind(log, "check-settled");
  return ofKind(log, "check-measured").map((measured) => ({
    measured,
    settled: settled.findLast(({ n }) => n < measured.n),
  }));
};

const keyOf = (pass: Pass, point: number): string => `${pass}/${point}`;

/** Sorts what was said about points into the history of each. */
class Histories {
  readonly passes = new Set<Pass>();
  readonly #all = new Map<string, History>();

  of(pass: Pass, point: number): History {
    const key = keyOf(pass, point);
    const known = this.#all.get(key);
    if (known !== undefined) return known;
    const fresh = begun();
    this.#all.set(key, fresh);
    return fresh;
  }

  add(event: RunEvent): void {
    if (!("pass" in event) || event.pass === undefined) return;
    // What is planned anew for a pass does not begin it.
    if (event.kind === "point-added" || event.kind === "points-swapped" || event.kind === "check-skipped") return;
    this.passes.add(event.pass);
    if (!("point" in event) || event.point === undefined) return;
    const history = this.of(event.pass, event.point);
    if (event.kind === "point-settled") history.settled.set(event.item, event);
    else if (event.kind === "fault-seen") history.faults.push(event);
    else if (event.kind === "point-repeated") this.#all.set(keyOf(event.pass, event.point), begun(event));
    else if (event.kind === "point-measured") {
      if (event.item === undefined) history.measured = event;
      else history.windows.set(event.item, event);
      history.skipped = undefined;
    } else if (event.kind === "point-skipped") {
      history.skipped = event;
      history.measured = undefined;
    }
  }
}

/** The point as one item was measured at it: in its own window where it has one that is newer than the window of all. */
const historyOf = (history: History, item?: string): PointHistory => {
  const own = item === undefined ? undefined : history.windows.get(item);
  if (own === undefined || (history.measured !== undefined && history.measured.n > own.n)) return history;
  return { ...history, measured: own };
};

/** From which line on which job holds. */
const epochsOf = (log: readonly RunEvent[], job: Job): { readonly from: number; readonly job: Job }[] => {
  const epochs = [{ from: 0, job }];
  for (const event of log) {
    const before = epochs.at(-1)!.job;
    const after = jobAfter(before, event);
    if (after !== before) epochs.push({ from: event.n, job: after });
  }
  return epochs;
};

/** Checks the log's sequence (`log.invalid`, thrown) and sorts it into what evaluation asks for. */
export const logView = (log: RunLog): LogView => {
  checkSequence(log);
  const blocks = new Map<string, RunEventOf<"readings-taken">[]>();
  const histories = new Histories();
  const sweeps = new SweepHistories();
  for (const event of log) {
    if (event.kind !== "readings-taken") {
      histories.add(event);
      sweeps.add(event);
      continue;
    }
    const list = blocks.get(event.channel);
    if (list === undefined) blocks.set(event.channel, [event]);
    else list.push(event);
  }
  const channels = new Map([...blocks].map(([channel, list]) => [channel, new ChannelReadings(list)]));
  const unfound = ofKind(log, "reading-rejected").filter(
    ({ channel, time }) => channels.get(channel)?.reject(time) !== true,
  );
  // In a log that was thinned the reading may have been let go: the whole log tells at the end.
  const vainRejections = log.thinned === true ? [] : unfound;
  const opened = log[0] as RunOpened;
  const epochs = epochsOf(log, opened.job);
  const planned = plannedPoints(opened.job.procedure).map((each, point): PassPoint => ({ ...each, point }));
  const added = ofKind(log, "point-added").map((event): PassPoint => ({
    point: event.point,
    temperature: event.temperature,
    direction: event.direction,
    added: event,
  }));
  return {
    opened,
    last: log[log.length - 1]!,
    ended: ofKind(log, "run-ended").at(-1),
    channels,
    begunPasses: histories.passes,
    adjustments: ofKind(log, "item-adjusted"),
    replacements: ofKind(log, "kit-replaced"),
    loadedCoefficients: ofKind(log, "coefficients-loaded"),
    setPoints: ofKind(log, "set-point-commanded"),
    checks: checksOf(log),
    skippedChecks: ofKind(log, "check-skipped"),
    faults: ofKind(log, "fault-seen"),
    vainRejections,
    history: (pass, point, item) => historyOf(histories.of(pass, point), item),
    sweep: (pass, point) => sweeps.of(pass, point),
    jobAt: (n) => epochs.findLast(({ from }) => from <= n)!.job,
    points: (pass) => [...planned, ...added.filter((point) => point.added!.pass === pass)],
  };
};
