import { success, type Outcome } from "#fault";
import type { ChannelUnit } from "#quantity";
import { parseAddress } from "../drivers/address.ts";
import { notInEntry } from "../drivers/not-in-entry.ts";
import { inputMeaning, understandNumber, type ReadingMeaning } from "../drivers/reading.ts";
import type { HeardLine, TalkEntry } from "../drivers/talk-entry.ts";
import { lineTemplate } from "../drivers/template.ts";
import { firstTransport, transportFor } from "../drivers/transport.ts";
import type { Addressee } from "../drivers/addressee.ts";
import { troubleFault, type Trouble } from "../drivers/trouble.ts";
import { lineFramer } from "../wire/line-framer.ts";
import type { Wire } from "../wire/wire.ts";
import type { ConnectInstrument } from "./instrument-conversation.ts";
import type { Instrument, ReadOnce } from "./instrument.ts";
import type { Frame } from "./line-connection.ts";
import { whyNoValue } from "./why-no-value.ts";

interface Heard {
  readonly line: string;
  readonly at: number;
}

type Listener = (outcome: Heard | Trouble) => void;

/**
 * An instrument that only talks. What it says is heard all the time; a reading is the newest line of its input that is not
 * older than two of its intervals, else the next one that comes. Nothing that it says is given twice: the same line does
 * not make two readings.
 */
export const talkingInstrument = (options: {
  readonly instrument: { readonly id: string; readonly at: string };
  readonly entry: TalkEntry;
  readonly connect: ConnectInstrument;
  readonly observe?: ((frame: Frame) => void) | undefined;
  /** The run's clock, s: when a line was heard, and how old it is when it is read. */
  readonly clock: { now(): number };
}): Instrument => {
  const { instrument, entry, connect, observe, clock } = options;
  const addressee: Addressee = { id: instrument.id, at: instrument.at, entry: entry.entry };
  const note = (direction: Frame["direction"], text: string) =>
    observe?.({ instrument: instrument.id, direction, text });

  let wire: Wire | null = null;
  let opening: Promise<Trouble | null> | null = null;
  let closed = false;
  /** Newest line that no reading has used, by what it was recognised as. */
  const newest = new Map<string, Heard>();
  const listeners = new Map<string, Listener>();
  const recognisers: { readonly key: string; readonly fits: (line: string) => boolean }[] = [];
  /** The last line that nobody recognised, for the sentence when nothing comes. */
  let stray: string | null = null;

  const hear = (line: string) => {
    note("received", line);
    const found = recognisers.filter(({ fits }) => fits(line));
    if (found.length === 0 && line.trim() !== "") stray = line;
    for (const { key } of found) {
      const heard = { line, at: clock.now() };
      const listener = listeners.get(key);
      if (listener === undefined) newest.set(key, heard);
      else listener(heard);
    }
  };

  const lost = (reason: string) => {
    wire = null;
    if (!closed) note("closed", reason);
    for (const listener of listeners.values()) listener({ kind: "closed", reason });
  };

  const connectNow = async (): Promise<Trouble | null> => {
    if (closed) return { kind: "closed", reason: "this program has closed it" };
    const address = parseAddress(instrument.at);
    const transport = address.ok ? transportFor(entry, address.value) : success(firstTransport(entry));
    if (!transport.ok) return { kind: "unsuitable", reason: transport.fault.message };
    const chosen = transport.value as Parameters<ConnectInstrument>[0]["transport"];
    const made = await connect({ ...instrument, transport: chosen });
    if (!made.ok) return { kind: "unreachable", reason: made.fault.message };
    note("opened", instrument.at);
    const framer = lineFramer(undefined, chosen.end === "cr" ? "cr" : "lf");
    newest.clear();
    // What comes first may be the second half of a line that was under way: it is cut off at the first line end.
    let whole = false;
    made.value.listen({
      bytes(piece) {
        for (const line of framer.push(piece)) {
          if (whole) hear(line);
          else note("discarded", line);
          whole = true;
        }
      },
      closed: lost,
    });
    wire = made.value;
    return null;
  };

  const open = (): Promise<Trouble | null> => {
    if (wire !== null) return Promise.resolve(null);
    opening ??= connectNow().finally(() => {
      opening = null;
    });
    return opening;
  };

  const nextLine = (key: string): Promise<Heard | Trouble> => {
    const waiting = newest.get(key);
    newest.delete(key);
    if (waiting !== undefined && clock.now() - waiting.at <= 2 * entry.every) return Promise.resolve(waiting);
    return new Promise((resolve) => {
      const end: Listener = (outcome) => {
        clearTimeout(timer);
        listeners.delete(key);
        resolve(outcome);
      };
      const patience = entry.timeout + entry.every;
      const timer = setTimeout(
        () =>
          end(
            stray === null
              ? { kind: "silent", waited: patience, half: "" }
              : { kind: "garbled", answer: stray, wanted: "a line of the shape that its entry declares" },
          ),
        patience * 1000,
      );
      listeners.set(key, end);
    });
  };

  const reader = (channel: string, input: number, unit: ChannelUnit): Outcome<ReadOnce> => {
    const meaning = inputMeaning<HeardLine>(entry, unit, input);
    if (!meaning.ok) return meaning;
    const template = lineTemplate(meaning.value.known.line)!;
    const key = `${unit} ${input}`;
    const read = (line: string): ReadingMeaning => {
      const match = template.match(line);
      return match === null || (match.input !== null && match.input !== input)
        ? { kind: "malformed", wire: line.trim() }
        : understandNumber(meaning.value, match.value);
    };
    recognisers.push({ key, fits: (line) => read(line).kind !== "malformed" });

    const once: ReadOnce = async () => {
      for (let count = 1; ; count += 1) {
        const trouble = await open();
        const heard = trouble ?? (await nextLine(key));
        if ("line" in heard) {
          const understood = read(heard.line);
          if (understood.kind === "reading") return success({ ...understood.reading, age: clock.now() - heard.at });
          if (understood.kind !== "malformed") return whyNoValue(addressee, channel, input, unit, understood);
        } else if (count > entry.retries || closed || heard.kind === "unsuitable") {
          return troubleFault(addressee, `a line for input ${input}`, count, heard);
        }
      }
    };
    return success(once);
  };

  return {
    addressee,
    async identify() {
      const trouble = await open();
      return trouble === null
        ? success(`${entry.title} (talks only: it cannot be asked what it is)`)
        : troubleFault(addressee, "listening", 1, trouble);
    },
    reader,
    commandSetPoint: () => Promise.resolve(notInEntry(addressee, "a set point")),
    setRampRate: () => Promise.resolve(notInEntry(addressee, "a ramp rate of its own")),
    switchOutput: () => Promise.resolve(notInEntry(addressee, "switching its output")),
    sourceState: () => Promise.resolve(success({ setPoint: null, output: null })),
    adjust: () => Promise.resolve(notInEntry(addressee, "adjusting")),
    async close() {
      closed = true;
      wire?.close();
      for (const listener of listeners.values()) listener({ kind: "closed", reason: "this program has closed it" });
    },
  };
};
