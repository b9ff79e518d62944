import { success, type Outcome } from "#fault";
import { encodeText } from "../wire/latin-text.ts";
import type { Wire, WireListener } from "../wire/wire.ts";
import type { Frame } from "./line-connection.ts";

/** A dialogue as it went, one frame after the other, with the time of each, s. */
export interface RecordedFrame extends Frame {
  readonly at: number;
}

/** One line of JSON a frame, so that a recording can be read, cut and kept as a test. */
export const writeFrame = (frame: RecordedFrame): string => `${JSON.stringify(frame)}\n`;

const directions = new Set(["opened", "sent", "received", "discarded", "closed"]);

/** Reads what `writeFrame` wrote; null for a line that is none. */
export const readFrame = (line: string): RecordedFrame | null => {
  try {
    const frame: unknown = JSON.parse(line);
    if (typeof frame !== "object" || frame === null) return null;
    const { instrument, direction, text, at } = frame as Record<string, unknown>;
    const whole = typeof instrument === "string" && typeof text === "string" && typeof at === "number";
    return whole && directions.has(String(direction))
      ? { instrument, direction: direction as RecordedFrame["direction"], text, at }
      : null;
  } catch {
    return null;
  }
};

/**
 * The instrument's part of a recording, played again: to what was sent then it answers what came then. Something else that
 * is sent breaks the wire off with both texts, so that a test says where the dialogue went another way.
 */
export const replayWire = (recording: readonly Frame[], instrument: string, ended: "\n" | "\r" = "\n"): Wire => {
  const frames = recording.filter((frame) => frame.instrument === instrument && frame.direction !== "opened");
  let next = 0;
  let listener: WireListener | null = null;
  let gone: string | null = null;
  let rest = "";

  const end = (reason: string) => {
    if (gone !== null) return;
    gone = reason;
    listener?.closed(reason);
  };

  /** What came before the next thing was sent. */
  const speak = () => {
    for (let frame = frames[next]; frame !== undefined && frame.direction !== "sent"; frame = frames[next]) {
      next += 1;
      if (frame.direction === "closed") end(frame.text);
      else listener?.bytes(encodeText(`${frame.text}${ended}`));
    }
  };

  return {
    listen(to) {
      listener = to;
      if (gone !== null) to.closed(gone);
      else speak();
    },
    send(bytes) {
      for (const byte of bytes) rest += String.fromCharCode(byte);
      const lines = rest.split(/\r\n|\n|\r/);
      rest = lines.pop() ?? "";
      for (const line of lines) {
        const frame = frames[next];
        if (frame === undefined) end("the recording is over");
        else if (frame.text === line) next += 1;
        else end(`the recording has ${JSON.stringify(frame.text)} where ${JSON.stringify(line)} was sent`);
        if (gone === null) speak();
      }
    },
    close: () => end("closed by this program"),
  };
};

/** Connections that are replayed, in the order in which they were opened in the recording. */
export const replayConnections = (recording: readonly Frame[]) => {
  const parts = new Map<string, Frame[][]>();
  for (const frame of recording) {
    const own = parts.get(frame.instrument) ?? [];
    if (frame.direction === "opened" || own.length === 0) own.push([]);
    own.at(-1)!.push(frame);
    parts.set(frame.instrument, own);
  }
  return async ({ id }: { readonly id: string }): Promise<Outcome<Wire>> =>
    success(replayWire(parts.get(id)?.shift() ?? [], id));
};
