import { success, type Outcome } from "#fault";
import { parseAddress } from "../drivers/address.ts";
import type { QuestionEntry } from "../drivers/question-entry.ts";
import { firstTransport, transportFor, type LineTransport } from "../drivers/transport.ts";
import type { Addressee } from "../drivers/addressee.ts";
import { troubleFault, type Trouble } from "../drivers/trouble.ts";
import { parseErrorEntry, type ErrorEntry } from "../wire/error-entry.ts";
import { parseIdentification, type Identification } from "../wire/identification.ts";
import type { Wire } from "../wire/wire.ts";
import { lineBus, type LineBus } from "./line-bus.ts";
import { lineConnection, type Frame, type LineConnection } from "./line-connection.ts";
import { pause } from "./pause.ts";

/** How a wire to an instrument is made: a real transport, or the simulated bench's wire in memory. */
export type ConnectInstrument = (instrument: {
  readonly id: string;
  readonly at: string;
  readonly transport: LineTransport;
}) => Promise<Outcome<Wire>>;

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
  readonly entry: QuestionEntry;
  readonly addressee: Addressee;
  /** Runs one exchange at a time: a second waits until the first is over. An urgent one breaks in. */
  exclusively<T>(work: (talk: Talk) => Promise<Outcome<T>>, urgent?: boolean): Promise<Outcome<T>>;
  /** Connects where need be and gives what the instrument says that it is. */
  identify(): Promise<Outcome<Identification>>;
  close(): Promise<void>;
}

export interface ConversationOptions {
  readonly instrument: { readonly id: string; readonly at: string };
  readonly entry: QuestionEntry;
  readonly connect: ConnectInstrument;
  readonly observe?: ((frame: Frame) => void) | undefined;
  /** The line, where several instruments share it. */
  readonly bus?: LineBus | undefined;
  /** The serial ports there are, for an address that leaves the port open. */
  readonly serialPorts?: (() => Promise<readonly string[]>) | undefined;
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
export const openConversation = (options: ConversationOptions): InstrumentConversation => {
  const { instrument, entry, connect, observe, bus = lineBus(1), serialPorts } = options;
  const addressee: Addressee = { id: instrument.id, at: instrument.at, entry: entry.entry };
  const note = (direction: Frame["direction"], text: string) =>
    observe?.({ instrument: instrument.id, direction, text });

  /** The connection over which this instrument has said what it is. */
  let greeted: LineConnection | null = null;
  let known: Identification | null = null;
  let closed = false;
  /** The wait for a connection was broken off in the turn that is under way. */
  let brokenOff = false;
  /** Commands sent since the last answer: a line that repeats one is its echo. */
  let unanswered: string[] = [];

  const say = async (link: LineConnection, text: string) => {
    if (entry.pauseBetween > 0) await pause(entry.pauseBetween);
    unanswered.push(text);
    link.send(text);
  };

  const exchange = async <T>(link: LineConnection, question: Question<T>): Promise<Attempt<T>> => {
    link.discardWaiting();
    await say(link, question.text);
    const deadline = performance.now() + question.timeout * 1000;
    for (;;) {
      const outcome = await link.nextLine(Math.max(0, deadline - performance.now()) / 1000);
      if (outcome.kind !== "line")
        return outcome.kind === "silent" ? { ...outcome, waited: question.timeout } : outcome;
      const echo = unanswered.indexOf(outcome.line.trim());
      if (echo >= 0) {
        note("discarded", outcome.line);
        unanswered = unanswered.slice(echo + 1);
        continue;
      }
      note("received", outcome.line);
      const value = question.understand(outcome.line);
      if (value === null) return { kind: "garbled", answer: outcome.line, wanted: question.wanted };
      unanswered = [];
      return { kind: "answer", value };
    }
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
    await say(link, entry.identify.ask);
    const deadline = performance.now() + entry.timeout * 1000;
    for (;;) {
      const left = (deadline - performance.now()) / 1000;
      const outcome = left > 0 ? await link.nextLine(left) : null;
      if (outcome === null || outcome.kind !== "line") return false;
      const found = parseIdentification(outcome.line);
      if (found !== null && (known === null || found.text === known.text)) {
        note("received", outcome.line);
        unanswered = [];
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

  /** Says what is to be said at the beginning, and hears who is there. */
  const greet = async (link: LineConnection): Promise<Attempt<LineConnection>> => {
    for (const command of entry.onConnect) await say(link, command);
    let attempt = await exchange(link, identification);
    // The first line may be the late answer to a question of an earlier connection: a device file keeps it.
    if (attempt.kind === "garbled") attempt = await exchange(link, identification);
    const trouble = attempt.kind === "answer" ? recognise(attempt.value) : attempt;
    if (trouble !== null) return trouble;
    greeted = link;
    return { kind: "answer", value: link };
  };

  /** One place where the instrument may be. */
  const reach = async (at: string): Promise<Attempt<LineConnection>> => {
    const address = parseAddress(at);
    const transport = address.ok ? transportFor<LineTransport>(entry, address.value) : success(firstTransport(entry));
    if (!transport.ok) return { kind: "unsuitable", reason: transport.fault.message };
    const wire = await bus.reach(at, () =>
      connect({ id: instrument.id, at, transport: transport.value as LineTransport }),
    );
    if (wire === null) {
      brokenOff = true;
      return { kind: "interrupted" };
    }
    if (!wire.ok) return { kind: "unreachable", reason: wire.fault.message };
    note("opened", at);
    unanswered = [];
    const link = lineConnection(wire.value, (transport.value as LineTransport).end, note);
    bus.take(link);
    const met = await greet(link);
    if (met.kind !== "answer") bus.drop();
    return met;
  };

  /** A port that was left open is the one where the instrument answers; ports change names when they are plugged in again. */
  const search = async (): Promise<Attempt<LineConnection>> => {
    const ports = (await serialPorts?.()) ?? [];
    for (const port of ports) {
      const met = await reach(`serial:${port}`);
      if (met.kind === "answer" || met.kind === "interrupted") return met;
    }
    const looked = ports.length === 0 ? "there is no serial port" : `it answers on none of ${ports.join(", ")}`;
    return { kind: "unreachable", reason: looked };
  };

  const open = async (): Promise<Attempt<LineConnection>> => {
    if (closed) return { kind: "closed", reason: "this program has closed it" };
    const link = bus.link();
    if (link !== null) return greeted === link ? { kind: "answer", value: link } : greet(link);
    return instrument.at === "serial:any" ? search() : reach(instrument.at);
  };

  /** After a trouble: what the instrument itself has to say about it; a wire that cannot be got into step is dropped. */
  const recover = async (trouble: Trouble): Promise<Trouble> => {
    const link = bus.link();
    if (trouble.kind === "interrupted") return trouble;
    if (link === null || trouble.kind === "closed") {
      bus.drop();
      return trouble;
    }
    if (!(await intoStep(link))) {
      bus.drop();
      return trouble;
    }
    const errors = await errorsOf(link);
    if (errors.kind !== "answer") {
      bus.drop();
      return trouble;
    }
    return errors.value.length === 0 ? trouble : { kind: "reported", errors: errors.value };
  };

  const final = (trouble: Trouble, count: number) =>
    ["reported", "exchanged", "interrupted", "unsuitable"].includes(trouble.kind) ||
    count > entry.retries ||
    closed ||
    bus.pressed();

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
      if (final(trouble, count))
        return troubleFault(addressee, link.kind === "answer" ? question.text : entry.identify.ask, count, trouble);
    }
  };

  const tell = async (command: string): Promise<Outcome<null>> => {
    const link = await open();
    if (link.kind !== "answer") return troubleFault(addressee, command, 1, link);
    await say(link.value, command);
    if (entry.pauseAfterCommand > 0) await pause(entry.pauseAfterCommand);
    const errors = await errorsOf(link.value);
    if (errors.kind === "answer") {
      return errors.value.length === 0
        ? success(null)
        : troubleFault(addressee, command, 1, { kind: "reported", errors: errors.value });
    }
    const trouble = await recover(errors);
    const inStepAndNothingReported = bus.link() !== null && trouble.kind !== "reported";
    return inStepAndNothingReported ? success(null) : troubleFault(addressee, command, 1, trouble);
  };

  const exclusively = async <T>(work: (talk: Talk) => Promise<Outcome<T>>, urgent = false): Promise<Outcome<T>> => {
    for (;;) {
      const { outcome, again } = await bus.turn(async () => {
        brokenOff = false;
        const done = await work({ ask, tell });
        return { outcome: done, again: brokenOff };
      }, urgent);
      // Nothing had been asked yet when something urgent went before it: it is asked after that.
      if (outcome.ok || !again || closed) return outcome;
    }
  };

  return {
    entry,
    addressee,
    exclusively,
    identify: () => exclusively(({ ask: put }) => put(identification)),
    async close() {
      closed = true;
      await bus.leave();
    },
  };
};
