import { success, type Outcome } from "#fault";
import type { InstrumentEntry } from "../drivers/entry.ts";
import { troubleFault, type Addressee, type Trouble } from "../drivers/trouble.ts";
import { parseErrorEntry, type ErrorEntry } from "../wire/error-entry.ts";
import { parseIdentification, type Identification } from "../wire/identification.ts";
import type { Wire } from "../wire/wire.ts";
import { lineConnection, type Frame, type LineConnection } from "./line-connection.ts";

/** How a wire to an instrument is made: a real transport, or the simulated bench's wire in memory. */
export type ConnectInstrument = (instrument: { readonly id: string; readonly at: string }) => Promise<Outcome<Wire>>;

export interface Question<T> {
  readonly text: string;
  /** Longest wait, s. */
  readonly timeout: number;
  /** What the answer should be, for the sentence: "a number". */
  readonly wanted: string;
  /** The answer understood; null when it is garbled. */
  understand(line: string): T | null;
}

/** What may be said to an instrument while nobody else talks to it. */
export interface Talk {
  ask<T>(question: Question<T>): Promise<Outcome<T>>;
  /** Sends a command and looks into the error queue, where the entry knows one. */
  tell(command: string): Promise<Outcome<null>>;
}

export interface InstrumentConversation {
  readonly entry: InstrumentEntry;
  readonly addressee: Addressee;
  /** Runs one exchange at a time: a second waits until the first is over. */
  exclusively<T>(work: (talk: Talk) => Promise<Outcome<T>>): Promise<Outcome<T>>;
  /** Connects where need be and gives what the instrument says that it is. */
  identify(): Promise<Outcome<Identification>>;
  close(): Promise<void>;
}

/** The queue of SCPI-1999 21.8 has an end; an instrument that reports for ever is broken. */
const longestErrorQueue = 32;

type Attempt<T> = { readonly kind: "answer"; readonly value: T } | Trouble;

/**
 * Keeps the conversation with one instrument: connects when there is something to ask, asks again as the entry allows,
 * and gets back into step after every trouble. Getting into step means asking for the identification and throwing away
 * whatever comes before it: an instrument answers in order, so what comes before is a late answer to an earlier
 * question. If that fails the wire is dropped, and the next question begins with a new one.
 */
export const openConversation = (options: {
  readonly instrument: { readonly id: string; readonly at: string };
  readonly entry: InstrumentEntry;
  readonly connect: ConnectInstrument;
  readonly observe?: ((frame: Frame) => void) | undefined;
}): InstrumentConversation => {
  const { instrument, entry, connect, observe } = options;
  const addressee: Addressee = { id: instrument.id, at: instrument.at, entry: entry.entry };
  const end = entry.transport.end === "crlf" ? "\r\n" : "\n";
  const note = (direction: Frame["direction"], text: string) =>
    observe?.({ instrument: instrument.id, direction, text });

  let connection: LineConnection | null = null;
  let known: Identification | null = null;
  let line: Promise<unknown> = Promise.resolve();
  let closed = false;

  const drop = () => {
    connection?.close();
    connection = null;
  };

  const exchange = async <T>(link: LineConnection, question: Question<T>): Promise<Attempt<T>> => {
    link.discardWaiting();
    link.send(question.text);
    const outcome = await link.nextLine(question.timeout);
    if (outcome.kind !== "line") return outcome;
    note("received", outcome.line);
    const value = question.understand(outcome.line);
    return value === null
      ? { kind: "garbled", answer: outcome.line, wanted: question.wanted }
      : { kind: "answer", value };
  };

  const identification: Question<Identification> = {
    text: entry.identify.ask,
    timeout: entry.timeout,
    wanted: "an identification of four fields",
    understand: parseIdentification,
  };

  const recognise = (found: Identification): Trouble | null => {
    const expected = entry.identify.expect;
    if (known !== null && known.text !== found.text)
      return { kind: "exchanged", expected: known.text, found: found.text };
    if (expected !== undefined && !found.text.toLowerCase().includes(expected.toLowerCase())) {
      return { kind: "exchanged", expected, found: found.text };
    }
    known = found;
    return null;
  };

  /** Reads lines until the identification comes; true when in step again. */
  const intoStep = async (link: LineConnection): Promise<boolean> => {
    link.discardWaiting();
    link.send(entry.identify.ask);
    const deadline = performance.now() + entry.timeout * 1000;
    for (;;) {
      const left = (deadline - performance.now()) / 1000;
      const outcome = left > 0 ? await link.nextLine(left) : null;
      if (outcome === null || outcome.kind !== "line") return false;
      const found = parseIdentification(outcome.line);
      if (found !== null && (known === null || found.text === known.text)) {
        note("received", outcome.line);
        return true;
      }
      note("discarded", outcome.line);
    }
  };

  const errorsOf = async (link: LineConnection): Promise<Attempt<readonly ErrorEntry[]>> => {
    const errors: ErrorEntry[] = [];
    const queue = entry.errors;
    if (queue === undefined) return { kind: "answer", value: errors };
    while (errors.length < longestErrorQueue) {
      const attempt = await exchange(link, {
        text: queue.ask,
        timeout: entry.timeout,
        wanted: 'an error entry: <code>,"<text>"',
        understand: parseErrorEntry,
      });
      if (attempt.kind !== "answer") return attempt;
      if (attempt.value.code === queue.none) break;
      errors.push(attempt.value);
    }
    return { kind: "answer", value: errors };
  };

  const open = async (): Promise<Attempt<LineConnection>> => {
    if (closed) return { kind: "closed", reason: "this program has closed it" };
    if (connection !== null && connection.open()) return { kind: "answer", value: connection };
    connection = null;
    const wire = await connect(instrument);
    if (!wire.ok) return { kind: "unreachable", reason: wire.fault.message };
    note("opened", instrument.at);
    const link = lineConnection(wire.value, end, note);
    connection = link;
    for (const command of entry.onConnect) link.send(command);
    const attempt = await exchange(link, identification);
    const trouble = attempt.kind === "answer" ? recognise(attempt.value) : attempt;
    if (trouble === null) return { kind: "answer", value: link };
    drop();
    return trouble;
  };

  /** After a trouble: what the instrument itself has to say about it; a wire that cannot be got into step is dropped. */
  const recover = async (trouble: Trouble): Promise<Trouble> => {
    const link = connection;
    if (link === null || !link.open() || trouble.kind === "closed") {
      drop();
      return trouble;
    }
    if (!(await intoStep(link))) {
      drop();
      return trouble;
    }
    const errors = await errorsOf(link);
    if (errors.kind !== "answer") {
      drop();
      return trouble;
    }
    return errors.value.length === 0 ? trouble : { kind: "reported", errors: errors.value };
  };

  const ask = async <T>(question: Question<T>): Promise<Outcome<T>> => {
    for (let count = 1; ; count += 1) {
      const link = await open();
      let trouble: Trouble;
      if (link.kind === "answer") {
        const attempt = await exchange(link.value, question);
        if (attempt.kind === "answer") return success(attempt.value);
        trouble = await recover(attempt);
      } else {
        trouble = link;
      }
      const final = trouble.kind === "reported" || trouble.kind === "exchanged" || count > entry.retries || closed;
      if (final)
        return troubleFault(addressee, link.kind === "answer" ? question.text : entry.identify.ask, count, trouble);
    }
  };

  const tell = async (command: string): Promise<Outcome<null>> => {
    const link = await open();
    if (link.kind !== "answer") return troubleFault(addressee, command, 1, link);
    link.value.send(command);
    const errors = await errorsOf(link.value);
    if (errors.kind === "answer") {
      return errors.value.length === 0
        ? success(null)
        : troubleFault(addressee, command, 1, { kind: "reported", errors: errors.value });
    }
    const trouble = await recover(errors);
    const inStepAndNothingReported = connection !== null && trouble.kind !== "reported";
    return inStepAndNothingReported ? success(null) : troubleFault(addressee, command, 1, trouble);
  };

  const exclusively = <T>(work: (talk: Talk) => Promise<Outcome<T>>): Promise<Outcome<T>> => {
    const turn = line.then(() => work({ ask, tell }));
    line = turn.catch(() => null);
    return turn;
  };

  return {
    entry,
    addressee,
    exclusively,
    identify: () => exclusively(({ ask }) => ask(identification)),
    async close() {
      closed = true;
      drop();
      await line;
    },
  };
};
