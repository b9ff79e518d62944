import type { Pass } from "../job/procedure.ts";
import { ChannelReadings } from "./channel-readings.ts";
import type { RunEvent, RunEventOf, RunOpened } from "./events.ts";
import { checkSequence } from "./parse-log.ts";

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

interface History {
  measured: RunEventOf<"point-measured"> | undefined;
  skipped: RunEventOf<"point-skipped"> | undefined;
  repeated: RunEventOf<"point-repeated"> | undefined;
  settled: Map<string, RunEventOf<"point-settled">>;
  faults: RunEventOf<"fault-seen">[];
}

const begun = (repeated?: RunEventOf<"point-repeated">): History => ({
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
  readonly faults: readonly RunEventOf<"fault-seen">[];
  /** Rejections for which no reading was found. */
  readonly vainRejections: readonly RunEventOf<"reading-rejected">[];
  history(pass: Pass, point: number): PointHistory;
}

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
    this.passes.add(event.pass);
    if (!("point" in event) || event.point === undefined) return;
    const history = this.of(event.pass, event.point);
    if (event.kind === "point-settled") history.settled.set(event.item, event);
    else if (event.kind === "fault-seen") history.faults.push(event);
    else if (event.kind === "point-repeated") this.#all.set(keyOf(event.pass, event.point), begun(event));
    else if (event.kind === "point-measured") {
      history.measured = event;
      history.skipped = undefined;
    } else if (event.kind === "point-skipped") {
      history.skipped = event;
      history.measured = undefined;
    }
  }
}

const ofKind = <K extends RunEvent["kind"]>(log: readonly RunEvent[], kind: K): RunEventOf<K>[] =>
  log.filter((event): event is RunEventOf<K> => event.kind === kind);

/** Checks the log's sequence (`log.invalid`, thrown) and sorts it into what evaluation asks for. */
export const logView = (log: readonly RunEvent[]): LogView => {
  checkSequence(log);
  const blocks = new Map<string, RunEventOf<"readings-taken">[]>();
  const histories = new Histories();
  for (const event of log) {
    if (event.kind !== "readings-taken") {
      histories.add(event);
      continue;
    }
    const list = blocks.get(event.channel);
    if (list === undefined) blocks.set(event.channel, [event]);
    else list.push(event);
  }
  const channels = new Map([...blocks].map(([channel, list]) => [channel, new ChannelReadings(list)]));
  const vainRejections = ofKind(log, "reading-rejected").filter(
    ({ channel, time }) => channels.get(channel)?.reject(time) !== true,
  );
  return {
    opened: log[0] as RunOpened,
    last: log[log.length - 1]!,
    ended: ofKind(log, "run-ended").at(-1),
    channels,
    begunPasses: histories.passes,
    adjustments: ofKind(log, "item-adjusted"),
    faults: ofKind(log, "fault-seen"),
    vainRejections,
    history: (pass, point) => histories.of(pass, point),
  };
};
