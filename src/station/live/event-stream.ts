import type { ServerResponse } from "node:http";
import type { Approach, RunMessage, RunView } from "#contract";

/** What a stream shows: whole views, so that any one of them is enough. */
export interface Feed {
  view(): RunView;
  /** The approach at the present point; null where there is none. */
  approach(): Approach | null;
  /** Calls back after each change; the answer stops that. */
  watch(changed: () => void): () => void;
  readonly ended: boolean;
}

export interface Pace {
  /** Shortest time from one message to the next, ms. */
  readonly view: number;
  readonly approach: number;
  readonly heartbeat: number;
}

export const usualPace: Pace = { view: 200, approach: 1000, heartbeat: 5_000 };

/**
 * Streams a run as server-sent events until it ends or the reader goes. The first message is the whole view; each message
 * is written only once the reader has taken the one before, and what it missed meanwhile is not kept: the next message is
 * simply the newest view. A reader that is slow or asleep therefore costs no memory. `seq` counts what this reader got.
 */
export const streamRun = (response: ServerResponse, feed: Feed, pace: Pace = usualPace): Promise<void> => {
  response.writeHead(200, {
    "content-type": "text/event-stream; charset=utf-8",
    "cache-control": "no-store",
    "x-accel-buffering": "no",
    connection: "keep-alive",
  });
  return new Promise((resolve) => {
    let seq = 0;
    let changed = true;
    let lastView = Number.NEGATIVE_INFINITY;
    let lastApproach = Number.NEGATIVE_INFINITY;
    let approachDue = true;
    let timer: NodeJS.Timeout | null = null;
    let finished = false;

    const send = (message: RunMessage): void => {
      response.write(`data: ${JSON.stringify(message)}\n\n`);
      seq += 1;
    };
    const finish = (): void => {
      if (finished) return;
      finished = true;
      unwatch();
      clearInterval(heartbeat);
      if (timer !== null) clearTimeout(timer);
      response.end();
      resolve();
    };
    const later = (wait: number): void => {
      timer ??= setTimeout(() => {
        timer = null;
        flush();
      }, wait);
    };
    const flush = (): void => {
      if (finished || response.writableNeedDrain) return;
      const now = performance.now();
      const ending = feed.ended;
      if (changed) {
        const wait = lastView + pace.view - now;
        if (wait > 0 && !ending) return later(wait);
        changed = false;
        approachDue = true;
        lastView = now;
        send({ kind: "view", seq, view: feed.view() });
      }
      if (approachDue) {
        const wait = lastApproach + pace.approach - now;
        if (wait > 0 && !ending) return later(wait);
        approachDue = false;
        lastApproach = now;
        const approach = feed.approach();
        if (approach !== null) send({ kind: "approach", seq, approach });
      }
      if (ending) {
        send({ kind: "ended", seq });
        finish();
      }
    };
    const unwatch = feed.watch(() => {
      changed = true;
      flush();
    });
    // Time goes on without a change too, and a page must be able to tell a quiet run from a lost station.
    const heartbeat = setInterval(() => {
      changed = true;
      flush();
    }, pace.heartbeat);
    response.on("drain", flush);
    response.on("close", finish);
    response.on("error", finish);
    flush();
  });
};
