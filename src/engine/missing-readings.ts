import type { EventDraft } from "#calibration";

interface Missing {
  readonly count: number;
  readonly said: number;
  readonly from: number;
  readonly to: number;
  readonly why: string;
  /** Still silent: it may be what pauses the run, and that fault would say it. */
  readonly silent: boolean;
}

/** Whole rounds that were not read. */
const everyChannel = "";

const clock = (seconds: number): string => `${seconds.toFixed(1)} s`;

/**
 * Scheduled readings that are not in the log, by channel, until the log says of them. The first is said with the next
 * events, more when they have doubled, and the rest when the run ends: a bench that drops a reading now and then for hours
 * makes a few lines and not thousands, and the counts still add up.
 */
export class MissingReadings {
  readonly #missing = new Map<string, Missing>();

  /** One channel was asked and gave no value. */
  channel(channel: string, at: number, why: string): void {
    this.#add(channel, 1, at, at, why, true);
  }

  /** It gives values again. */
  heard(channel: string): void {
    const missing = this.#missing.get(channel);
    if (missing?.silent === true) this.#missing.set(channel, { ...missing, silent: false });
  }

  /** Rounds that were not read at all, between two moments. */
  rounds(count: number, from: number, to: number, why: string): void {
    this.#add(everyChannel, count, from, to, why, false);
  }

  /** A channel whose silence has paused the run: that fault says why, and it is not said once more. */
  forget(channel: string): void {
    const missing = this.#missing.get(channel);
    if (missing !== undefined) this.#missing.set(channel, { ...missing, said: missing.count });
  }

  /** What is to be said with events at a moment, and how to note that it was. */
  due(at: number, ending: boolean): { readonly drafts: readonly EventDraft[]; said(): void } {
    const due = [...this.#missing].filter(
      ([, { count, said, silent }]) => count > said && (ending || (!silent && count >= 2 * said)),
    );
    return {
      drafts: due.map(([channel, missing]) => draftOf(channel, missing, at)),
      said: () => {
        for (const [channel, missing] of due)
          this.#missing.set(channel, { ...missing, said: missing.count, from: missing.to });
      },
    };
  }

  #add(channel: string, more: number, from: number, to: number, why: string, silent: boolean): void {
    const known = this.#missing.get(channel);
    const fresh = known === undefined || known.count === known.said;
    this.#missing.set(channel, {
      count: (known?.count ?? 0) + more,
      said: known?.said ?? 0,
      from: fresh ? from : known.from,
      to,
      why,
      silent,
    });
  }
}

const draftOf = (channel: string, { count, said, from, to, why }: Missing, at: number): EventDraft => {
  const fresh = count - said;
  const what =
    channel === everyChannel
      ? `${fresh} scheduled ${fresh === 1 ? "round" : "rounds"} of readings ${fresh === 1 ? "was" : "were"} not read`
      : `${fresh} scheduled ${fresh === 1 ? "reading" : "readings"} of ${channel} did not come`;
  const when = to - from < 0.05 ? `at ${clock(to)}` : `between ${clock(from)} and ${clock(to)}`;
  const all = said > 0 ? ` (${count} in this run so far)` : "";
  return {
    kind: "fault-seen",
    at,
    code: "reading.missing",
    message: `${what} ${when}${all}. ${why}`,
    ...(channel === everyChannel ? {} : { channel }),
  };
};
