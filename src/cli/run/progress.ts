import type { Writable } from "node:stream";
import type { RunView } from "#contract";
import type { WantedOfPerson } from "./wanted-of-person.ts";
import { progressLines, progressRecord } from "./progress-view.ts";

/** Shows a run while it goes on. */
export interface Progress {
  /** `events` is the number of log lines that are safe on the disk. */
  show(view: RunView, events: number): void;
  /** What a person is asked for, where no terminal asks it: a line for a program that answers. */
  want(wanted: WantedOfPerson, view: RunView): void;
  /** A sentence that stays on the screen. */
  say(sentence: string): void;
  close(): void;
}

interface Terminal extends Writable {
  readonly isTTY?: boolean;
  readonly columns?: number;
}

export const isTerminal = (stream: Writable): boolean => (stream as Terminal).isTTY === true;

/** Bars that are drawn over at most five times a second. */
const onTerminal = (stream: Terminal): Progress => {
  let drawn = 0;
  let last = Number.NEGATIVE_INFINITY;
  let pending: RunView | null = null;
  const wipe = (): void => {
    if (drawn > 0) stream.write(`\u001B[${drawn}A\u001B[0J`);
    drawn = 0;
  };
  const draw = (view: RunView): void => {
    const lines = progressLines(view, stream.columns ?? 80);
    wipe();
    stream.write(`${lines.join("\n")}\n`);
    drawn = lines.length;
    pending = null;
    last = performance.now();
  };
  return {
    show(view) {
      pending = view;
      if (performance.now() - last >= 200 || view.stage === "ended") draw(view);
    },
    say(sentence) {
      const view = pending;
      wipe();
      stream.write(`${sentence}\n`);
      if (view !== null) draw(view);
    },
    want() {},
    close() {
      if (pending !== null) draw(pending);
      // What follows on the screen, a question or the summary, is not to be drawn over.
      drawn = 0;
    },
  };
};

/** A JSON line when the stage or the point changes, and otherwise one a second. */
const onPipe = (stream: Writable): Progress => {
  let last = Number.NEGATIVE_INFINITY;
  let place = "";
  return {
    show(view, events) {
      const now = performance.now();
      const here = `${view.stage} ${view.pass} ${view.point}`;
      if (here === place && now - last < 1000) return;
      place = here;
      last = now;
      stream.write(`${JSON.stringify(progressRecord(view, events))}\n`);
    },
    say(sentence) {
      stream.write(`${JSON.stringify({ kind: "message", message: sentence })}\n`);
    },
    want(wanted, view) {
      const { kind, ...about } = wanted;
      const at = Math.round(view.at * 10) / 10;
      const place = { pass: view.pass, point: view.point, setPoint: view.setPoint };
      const reference = view.reference?.temperature ?? null;
      stream.write(`${JSON.stringify({ kind: "wanted", what: kind, at, ...place, reference, ...about })}\n`);
    },
    close() {},
  };
};

/** Bars on a terminal, JSON lines in a pipe. */
export const progressOn = (stream: Writable): Progress =>
  isTerminal(stream) ? onTerminal(stream as Terminal) : onPipe(stream);
