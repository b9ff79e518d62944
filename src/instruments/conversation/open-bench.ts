import { Fault, failure, success, unwrap, type Outcome } from "#fault";
import type { InstrumentEntry } from "../drivers/entry.ts";
import type {
  BenchChannel,
  BenchInstrument,
  ChannelAnswer,
  InstrumentBench,
  InstrumentIdentity,
} from "./bench-port.ts";
import type { ConnectInstrument } from "./instrument-conversation.ts";
import type { Instrument, ReadOnce } from "./instrument.ts";
import { lineBus, type LineBus } from "./line-bus.ts";
import type { Frame } from "./line-connection.ts";
import { lineInstrument } from "./line-instrument.ts";
import { registerInstrument, type ConnectRegisters } from "./register-instrument.ts";
import { talkingInstrument } from "./talking-instrument.ts";

export interface BenchOptions {
  readonly instruments: readonly BenchInstrument[];
  readonly channels: Readonly<Record<string, BenchChannel>>;
  /** Catalogue entries; each instrument's entry must be among them. */
  readonly entries: readonly InstrumentEntry[];
  readonly connect: ConnectInstrument;
  /** How a Modbus bus is reached; without it no instrument of the bench may be one of registers. */
  readonly connectRegisters?: ConnectRegisters | undefined;
  /** The serial ports of the machine, for instruments whose port is left open. */
  readonly serialPorts?: (() => Promise<readonly string[]>) | undefined;
  /** The run's clock: only asked for the time at which a value was taken. */
  readonly clock: { now(): number };
  /** Told of everything that goes over a wire. */
  readonly observe?: (frame: Frame) => void;
}

interface Reader {
  readonly channel: string;
  readonly conversation: Instrument;
  readonly read: ReadOnce;
}

const entryOf = (instrument: BenchInstrument, entries: readonly InstrumentEntry[]): InstrumentEntry => {
  const entry = entries.find((candidate) => candidate.entry === instrument.entry);
  if (entry === undefined) {
    throw new Fault(
      "instrument.entry-invalid",
      `Instrument "${instrument.id}" names catalogue entry "${instrument.entry}", which is not there. Known: ${entries.map((known) => known.entry).join(", ") || "none"}.`,
    );
  }
  if (entry.role !== instrument.role) {
    throw new Fault(
      "instrument.entry-invalid",
      `Instrument "${instrument.id}" has role ${instrument.role}, but catalogue entry "${entry.entry}" is for role ${entry.role}. Correct the job.`,
    );
  }
  return entry;
};

/** Lines that more than one instrument of the bench is on: a heat source that also reads thermometers. */
const sharedLines = (instruments: readonly BenchInstrument[]): ReadonlyMap<string, LineBus> => {
  const places = instruments.map(({ at }) => at).filter((at) => at !== "simulated" && at !== "serial:any");
  const shared = [...new Set(places)].map((at) => [at, places.filter((place) => place === at).length] as const);
  return new Map(shared.filter(([, users]) => users > 1).map(([at, users]) => [at, lineBus(users)]));
};

const noRegisters: ConnectRegisters = () =>
  Promise.resolve(failure("instrument.unreachable", "this program was not given a way to a Modbus bus"));

const instrumentOf = (
  instrument: BenchInstrument,
  entry: InstrumentEntry,
  bus: LineBus | undefined,
  { connect, connectRegisters = noRegisters, serialPorts, observe, clock }: BenchOptions,
): Instrument => {
  switch (entry.dialogue) {
    case "registers":
      return registerInstrument({ instrument, entry, connect: connectRegisters, observe });
    case "talk-only":
      return talkingInstrument({ instrument, entry, connect, observe, clock });
    default:
      return lineInstrument({ instrument, entry, connect, observe, bus, serialPorts });
  }
};

/**
 * The instruments of a run behind channel names. Throws a Fault (`instrument.entry-invalid`, `job.invalid`) when what is
 * declared does not fit together; nothing is connected before the first question. Channels on one instrument are read in
 * the order asked for, instruments side by side. The time of a value lies midway between its question and its answer.
 */
export const openBench = (options: BenchOptions): InstrumentBench => {
  const { instruments, entries, clock } = options;
  const conversations = new Map<string, Instrument>();
  const buses = sharedLines(instruments);
  for (const instrument of instruments) {
    if (conversations.has(instrument.id)) {
      throw new Fault(
        "job.invalid",
        `Two instruments of the bench are called "${instrument.id}". Give each its own name.`,
      );
    }
    conversations.set(
      instrument.id,
      instrumentOf(instrument, entryOf(instrument, entries), buses.get(instrument.at), options),
    );
  }
  const sources = instruments.filter(({ role }) => role === "source");
  if (sources.length > 1) {
    throw new Fault(
      "job.invalid",
      `The bench has ${sources.length} heat sources (${sources.map(({ id }) => id).join(", ")}). Name one.`,
    );
  }

  const readers = new Map<string, Reader>();
  for (const [channel, { instrument, input, unit }] of Object.entries(options.channels)) {
    const conversation = conversations.get(instrument);
    if (conversation === undefined) {
      throw new Fault(
        "job.invalid",
        `Channel "${channel}" is read on instrument "${instrument}", which the bench does not have.`,
      );
    }
    readers.set(channel, { channel, conversation, read: unwrap(conversation.reader(channel, input, unit)) });
  }

  const readOne = async ({ channel, read }: Reader): Promise<ChannelAnswer> => {
    const asked = clock.now();
    const outcome = await read();
    const now = clock.now();
    // What an instrument said unasked was taken when it said it; what it was asked for, midway.
    const age = outcome.ok ? outcome.value.age : undefined;
    const time = age === undefined ? (asked + now) / 2 : now - age;
    return {
      channel,
      time,
      outcome: outcome.ok ? success({ value: outcome.value.value, wire: outcome.value.wire }) : outcome,
    };
  };

  const inOrder = async (group: readonly Reader[]): Promise<readonly ChannelAnswer[]> => {
    const answers: ChannelAnswer[] = [];
    for (const reader of group) answers.push(await readOne(reader));
    return answers;
  };

  const sourceConversation = (): Outcome<Instrument> => {
    const conversation = sources[0] === undefined ? undefined : conversations.get(sources[0].id);
    return conversation === undefined
      ? failure(
          "job.invalid",
          "The bench has no instrument of role source, so no set point can be commanded. Add the heat source to the job.",
        )
      : success(conversation);
  };

  return {
    async prepare() {
      const outcomes = await Promise.all(
        [...conversations.values()].map(async (conversation): Promise<Outcome<InstrumentIdentity>> => {
          const identified = await conversation.identify();
          return identified.ok
            ? success({ instrument: conversation.addressee.id, identification: identified.value })
            : identified;
        }),
      );
      const identities: InstrumentIdentity[] = [];
      for (const outcome of outcomes) {
        if (!outcome.ok) return outcome;
        identities.push(outcome.value);
      }
      return success(identities);
    },
    async read(channels) {
      const groups = new Map<Instrument, Reader[]>();
      for (const channel of channels) {
        const reader = readers.get(channel);
        if (reader === undefined) {
          throw new Fault("internal", `Channel "${channel}" is asked for, but the bench was opened without it.`);
        }
        const group = groups.get(reader.conversation);
        if (group === undefined) groups.set(reader.conversation, [reader]);
        else group.push(reader);
      }
      const answers = await Promise.all([...groups.values()].map(inOrder));
      const byName = new Map(answers.flat().map((answer) => [answer.channel, answer]));
      return channels.map((channel) => byName.get(channel)!);
    },
    async commandSetPoint(temperature) {
      const conversation = sourceConversation();
      return conversation.ok ? conversation.value.commandSetPoint(temperature) : conversation;
    },
    async setRampRate(rate) {
      const conversation = sourceConversation();
      return conversation.ok ? conversation.value.setRampRate(rate) : conversation;
    },
    async switchOutput(on) {
      const conversation = sourceConversation();
      return conversation.ok ? conversation.value.switchOutput(on) : conversation;
    },
    async sourceState() {
      const conversation = sourceConversation();
      return conversation.ok ? conversation.value.sourceState() : conversation;
    },
    async probe(channel) {
      const wired = options.channels[channel];
      const conversation = wired === undefined ? undefined : conversations.get(wired.instrument);
      return conversation?.probe === undefined ? null : conversation.probe(wired!.input);
    },
    async adjustItem(item, zero, span) {
      const instrument = instruments.find(({ id, role }) => role === "item" && id === item);
      const conversation = instrument === undefined ? undefined : conversations.get(instrument.id);
      return conversation === undefined
        ? failure(
            "job.invalid",
            `The bench has no maintenance channel for item "${item}": no instrument of role item has that name. Adjust the item by hand, or add its channel to the job.`,
          )
        : conversation.adjust(zero, span);
    },
    async close() {
      await Promise.all([...conversations.values()].map((conversation) => conversation.close()));
    },
  };
};
