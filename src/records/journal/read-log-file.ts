import type { FileHandle } from "node:fs/promises";
import { checkSequence, parseEvent, type RunEvent } from "#calibration";
import { Fault } from "#fault";

const lineFeed = 0x0a;

/** The event in a last line that lacks its line feed; null when the line is torn. */
const wholeEvent = (text: string, events: readonly RunEvent[]): RunEvent | null => {
  try {
    const event = parseEvent(text, events.length + 1);
    checkSequence([...events, event]);
    return event;
  } catch (thrown) {
    if (thrown instanceof Fault) return null;
    throw thrown;
  }
};

/** Every event is an object, so that is how a torn first line begins; zeros are what a crash of the machine leaves. */
const couldBeTorn = (rest: Buffer): boolean => rest[0] === 0x7b || rest.every((byte) => byte === 0);

const readEvents = (path: string, lines: readonly string[]): RunEvent[] => {
  try {
    const events = lines.map((line, index) => parseEvent(line, index + 1));
    if (events.length > 0) checkSequence(events);
    return events;
  } catch (thrown) {
    if (!(thrown instanceof Fault)) throw thrown;
    const { code, message, data } = thrown;
    throw new Fault(code, `${path} cannot be gone on with, and was left as it is. ${message}`, {
      data: { ...data, path },
      cause: thrown,
    });
  }
};

/**
 * Reads a run log that is open for writing, and makes its end clean: a torn last line is cut off, and one that is whole
 * but for its line feed gets it. Throws `log.invalid` with the line for anything else, and then changes nothing.
 */
export const readLogFile = async (path: string, file: FileHandle): Promise<{ events: RunEvent[]; length: number }> => {
  const bytes = await file.readFile();
  const end = bytes.lastIndexOf(lineFeed) + 1;
  const text = bytes.subarray(0, end).toString("utf8");
  const lines = text === "" ? [] : text.slice(0, -1).split("\n");
  const events = readEvents(path, lines);
  if (end === bytes.length) return { events, length: end };

  const rest = bytes.subarray(end);
  if (events.length === 0 && !couldBeTorn(rest)) {
    throw new Fault("log.invalid", `${path} is not a run log; it was left as it is. Name another file.`, {
      data: { path },
    });
  }
  const last = wholeEvent(rest.toString("utf8"), events);
  if (last === null) {
    await file.truncate(end);
    await file.sync();
    return { events, length: end };
  }
  await file.write("\n", bytes.length);
  await file.sync();
  return { events: [...events, last], length: bytes.length + 1 };
};
