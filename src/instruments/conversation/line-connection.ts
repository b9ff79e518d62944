import type { Trouble } from "../drivers/trouble.ts";
import { encodeText } from "../wire/latin-text.ts";
import { lineFramer } from "../wire/line-framer.ts";
import type { Wire } from "../wire/wire.ts";

export type FrameDirection = "opened" | "sent" | "received" | "discarded" | "closed";

/** What went over a wire, for the transcript; `text` is without the line end. */
export interface Frame {
  readonly instrument: string;
  readonly direction: FrameDirection;
  readonly text: string;
}

/** A line that came, or why none did. */
export type LineOutcome = { readonly kind: "line"; readonly line: string } | Trouble;

export interface LineConnection {
  readonly open: () => boolean;
  send(text: string): void;
  /** The next line, from now on; a second call while one waits is a defect. */
  nextLine(timeout: number): Promise<LineOutcome>;
  /** Breaks off a wait for a line, for something that cannot wait. */
  interrupt(): void;
  /** Throws away what has come unasked: whole lines and half ones. */
  discardWaiting(): void;
  close(): void;
}

const ends = { lf: "\n", crlf: "\r\n", cr: "\r" } as const;

/** Lines over one open wire. Knows nothing of questions; lives as long as the wire does. */
export const lineConnection = (
  wire: Wire,
  end: "lf" | "crlf" | "cr",
  note: (direction: FrameDirection, text: string) => void,
): LineConnection => {
  const framer = lineFramer(undefined, end === "cr" ? "cr" : "lf");
  const lines: string[] = [];
  let gone: string | null = null;
  let waiting: ((outcome: LineOutcome) => void) | null = null;

  const settle = (outcome: LineOutcome) => {
    const resolve = waiting;
    waiting = null;
    resolve?.(outcome);
  };

  wire.listen({
    bytes(piece) {
      for (const line of framer.push(piece)) {
        if (waiting === null) lines.push(line);
        else settle({ kind: "line", line });
      }
    },
    closed(reason) {
      if (gone !== null) return;
      gone = reason;
      note("closed", reason);
      settle({ kind: "closed", reason });
    },
  });

  return {
    open: () => gone === null,
    send(text) {
      note("sent", text);
      wire.send(encodeText(text + ends[end]));
    },
    nextLine(timeout) {
      const line = lines.shift();
      if (line !== undefined) return Promise.resolve({ kind: "line", line });
      if (gone !== null) return Promise.resolve({ kind: "closed", reason: gone });
      return new Promise((resolve) => {
        const timer = setTimeout(
          () => settle({ kind: "silent", waited: timeout, half: framer.pending() }),
          timeout * 1000,
        );
        waiting = (outcome) => {
          clearTimeout(timer);
          resolve(outcome);
        };
      });
    },
    interrupt() {
      settle({ kind: "interrupted" });
    },
    discardWaiting() {
      for (const line of lines.splice(0)) note("discarded", line);
      const half = framer.pending();
      if (half !== "") note("discarded", half);
      framer.clear();
    },
    close() {
      wire.close();
    },
  };
};
