import type { FileHandle } from "node:fs/promises";
import { parseEvent, type RunEvent, type RunOpened } from "#calibration";
import { Fault } from "#fault";
import { emptyLog, type LogEnd } from "./number-events.ts";

const lineFeed = 0x0a;
/** So much of a file is in memory at a time, bytes; a line may be longer. */
const piece = 1 << 20;

/** What a journal goes on from; the events themselves went to whoever asked for them. */
export interface LogFile {
  readonly opened: RunOpened | null;
  readonly end: LogEnd;
  /** Bytes of whole lines. */
  readonly length: number;
}

/** Takes the events of a log one by one, in their order. */
export type TakeEvent = (event: RunEvent) => void;

/** Follows a log line by line: each event joins on to the one before, as in `checkSequence`. */
class Follower {
  readonly #take: TakeEvent;
  opened: RunOpened | null = null;
  end: LogEnd = emptyLog;

  constructor(take: TakeEvent) {
    this.#take = take;
  }

  add(text: string): void {
    const line = this.end.events + 1;
    const event = parseEvent(text, line);
    const broken = (words: string): Fault =>
      new Fault("log.invalid", `Line ${line} of the log: ${words}`, { data: { line } });
    if ((event.kind === "run-opened") !== (line === 1))
      throw broken(line === 1 ? `expected run-opened first, not ${event.kind}.` : "a run is opened only once.");
    if (event.n !== line - 1)
      throw broken(`expected n = ${line - 1}, not ${event.n}: a line is missing or out of place.`);
    if (event.at < this.end.at)
      throw broken(`at = ${event.at} s is before ${this.end.at} s of the line above: the run's clock never goes back.`);
    if (event.kind === "run-opened") this.opened = event;
    this.end = { events: line, at: event.at };
    this.#take(event);
  }
}

/** Every event is an object, so that is how a torn first line begins; zeros are what a crash of the machine leaves. */
const couldBeTorn = (rest: Buffer): boolean => rest[0] === 0x7b || rest.every((byte) => byte === 0);

/** Gives the whole lines of a file one after the other; answers what follows the last line feed. */
const eachLine = async (file: FileHandle, take: (line: string) => void): Promise<Buffer> => {
  let rest = Buffer.alloc(0);
  for (let at = 0; ;) {
    const { bytesRead, buffer } = await file.read(Buffer.allocUnsafe(piece), 0, piece, at);
    if (bytesRead === 0) return rest;
    at += bytesRead;
    const bytes =
      rest.length === 0 ? buffer.subarray(0, bytesRead) : Buffer.concat([rest, buffer.subarray(0, bytesRead)]);
    let begun = 0;
    for (let end = bytes.indexOf(lineFeed); end >= 0; end = bytes.indexOf(lineFeed, begun)) {
      take(bytes.toString("utf8", begun, end));
      begun = end + 1;
    }
    rest = Buffer.from(bytes.subarray(begun));
  }
};

/**
 * Reads a run log that is open for writing, a piece at a time, and makes its end clean: a torn last line is cut off, and
 * one that is whole but for its line feed gets it. `take` is given the events one by one; nothing of them is kept here.
 * Throws `log.invalid` with the line for anything else, and then changes nothing.
 */
export const readLogFile = async (path: string, file: FileHandle, take: TakeEvent): Promise<LogFile> => {
  const follower = new Follower(take);
  let length = 0;
  const rest = await inWords(path, () =>
    eachLine(file, (line) => {
      follower.add(line);
      length += Buffer.byteLength(line) + 1;
    }),
  );
  if (rest.length === 0) return { opened: follower.opened, end: follower.end, length };
  if (follower.opened === null && !couldBeTorn(rest)) {
    throw new Fault("log.invalid", `${path} is not a run log; it was left as it is. Name another file.`, {
      data: { path },
    });
  }
  try {
    follower.add(rest.toString("utf8"));
  } catch (thrown) {
    if (!(thrown instanceof Fault)) throw thrown;
    await file.truncate(length);
    await file.sync();
    return { opened: follower.opened, end: follower.end, length };
  }
  await file.write("\n", length + rest.length);
  await file.sync();
  return { opened: follower.opened, end: follower.end, length: length + rest.length + 1 };
};

const inWords = async <T>(path: string, work: () => Promise<T>): Promise<T> => {
  try {
    return await work();
  } catch (thrown) {
    if (!(thrown instanceof Fault)) throw thrown;
    const { code, message, data } = thrown;
    throw new Fault(code, `${path} cannot be gone on with, and was left as it is. ${message}`, {
      data: { ...data, path },
      cause: thrown,
    });
  }
};
