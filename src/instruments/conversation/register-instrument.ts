import { failure, success, type Outcome } from "#fault";
import type { ChannelUnit } from "#quantity";
import { parseAddress } from "../drivers/address.ts";
import { notInEntry } from "../drivers/not-in-entry.ts";
import { inputMeaning, understandNumber } from "../drivers/reading.ts";
import type { ReadRegister, RegisterEntry } from "../drivers/register-entry.ts";
import type { Exchanged, RegisterLink } from "../drivers/register-link.ts";
import { rawOf, registersOf, valueOf, wordsOf } from "../drivers/register-value.ts";
import { firstTransport, transportFor, type RegisterTransport } from "../drivers/transport.ts";
import { calledFirst, type Addressee } from "../drivers/addressee.ts";
import { troubleFault, type Trouble } from "../drivers/trouble.ts";
import type { Instrument, ReadOnce, SourceState } from "./instrument.ts";
import { lineBus } from "./line-bus.ts";
import type { Frame } from "./line-connection.ts";
import { pause } from "./pause.ts";
import { whyNoValue } from "./why-no-value.ts";

/** How a Modbus bus is reached; several instruments may share one. */
export type ConnectRegisters = (instrument: {
  readonly id: string;
  readonly at: string;
  readonly transport: RegisterTransport;
}) => Promise<Outcome<RegisterLink>>;

const hex = (words: readonly number[]) => words.map((word) => word.toString(16).padStart(4, "0")).join(" ");

/** An instrument whose figures lie in Modbus registers. */
export const registerInstrument = (options: {
  readonly instrument: { readonly id: string; readonly at: string };
  readonly entry: RegisterEntry;
  readonly connect: ConnectRegisters;
  readonly observe?: ((frame: Frame) => void) | undefined;
}): Instrument => {
  const { instrument, entry, connect, observe } = options;
  const addressee: Addressee = { id: instrument.id, at: instrument.at, entry: entry.entry };
  const note = (direction: Frame["direction"], text: string) =>
    observe?.({ instrument: instrument.id, direction, text });
  const turns = lineBus(1);

  let link: RegisterLink | null = null;
  let known: string | null = null;
  let closed = false;

  /** One exchange, noted in words; `shown` turns the answer into text for the transcript. */
  const exchange = async <T>(
    on: RegisterLink,
    asked: string,
    work: (link: RegisterLink) => Promise<Exchanged<T>>,
    shown: (value: T) => string,
  ): Promise<Exchanged<T>> => {
    if (entry.pauseBetween > 0) await pause(entry.pauseBetween);
    note("sent", asked);
    const answer = await work(on);
    if (answer.kind === "answer") note("received", shown(answer.value));
    return answer;
  };

  const drop = async () => {
    const gone = link;
    link = null;
    if (gone !== null) {
      note("closed", "closed by this program");
      await gone.close();
    }
  };

  const whoIsThere = (on: RegisterLink): Promise<Exchanged<string>> => {
    const { identify } = entry;
    if (identify.by === "device-identification")
      return exchange(
        on,
        "read device identification",
        (to) => to.identification(entry.timeout),
        (text) => text,
      );
    if (identify.by === "nothing")
      return Promise.resolve({ kind: "answer", value: `${entry.title} (cannot be asked what it is)` });
    return exchange(
      on,
      `read ${identify.table} register ${identify.address}`,
      async (to) => {
        const answer = await to.read(identify.table, identify.address, 1, entry.timeout);
        return answer.kind === "answer"
          ? { kind: "answer", value: `register ${identify.address} holds ${answer.value[0]}` }
          : answer;
      },
      (text) => text,
    );
  };

  const recognise = (found: string): Trouble | null => {
    const { identify } = entry;
    const expected =
      identify.by === "register"
        ? `register ${identify.address} holds ${identify.expect}`
        : identify.by === "device-identification"
          ? identify.expect
          : undefined;
    if (known !== null && known !== found) return { kind: "exchanged", expected: known, found };
    if (expected !== undefined && !found.toLowerCase().includes(expected.toLowerCase()))
      return { kind: "exchanged", expected, found };
    known = found;
    return null;
  };

  const open = async (): Promise<Exchanged<RegisterLink>> => {
    if (closed) return { kind: "closed", reason: "this program has closed it" };
    if (link !== null) return { kind: "answer", value: link };
    const address = parseAddress(instrument.at);
    const transport = address.ok ? transportFor(entry, address.value) : success(firstTransport(entry));
    if (!transport.ok) return { kind: "unsuitable", reason: transport.fault.message };
    const made = await connect({ ...instrument, transport: transport.value as RegisterTransport });
    if (!made.ok) return { kind: "unreachable", reason: made.fault.message };
    note("opened", instrument.at);
    link = made.value;
    const found = await whoIsThere(link);
    const trouble = found.kind === "answer" ? recognise(found.value) : found;
    if (trouble === null) return { kind: "answer", value: link };
    await drop();
    return trouble;
  };

  /** Asks as often as the entry allows; a trouble that the instrument itself reports is not asked again. */
  const ask = async <T>(
    asked: string,
    work: (link: RegisterLink) => Promise<Exchanged<T>>,
    shown: (value: T) => string,
    retries: number = entry.retries,
  ): Promise<Outcome<T>> => {
    for (let count = 1; ; count += 1) {
      const on = await open();
      const answer = on.kind === "answer" ? await exchange(on.value, asked, work, shown) : on;
      if (answer.kind === "answer") return success(answer.value);
      if (answer.kind === "closed") await drop();
      const final =
        ["reported", "exchanged", "unsuitable"].includes(answer.kind) || count > retries || closed || turns.pressed();
      if (final) return troubleFault(addressee, asked, count, answer);
    }
  };

  const reader = (channel: string, input: number, unit: ChannelUnit): Outcome<ReadOnce> => {
    const meaning = inputMeaning<ReadRegister>(entry, unit, input);
    if (!meaning.ok) return meaning;
    const { known: place } = meaning.value;
    const count = registersOf(place.type);
    const address = place.address + (input - place.inputs.first) * (place.stride ?? 0);
    const asked = `read ${place.table} register ${address}${count === 2 ? ` and ${address + 1}` : ""}`;
    return success(() =>
      turns.turn(async () => {
        const words = await ask(asked, (to) => to.read(place.table, address, count, entry.timeout), hex);
        if (!words.ok) return words;
        const value = valueOf(words.value, place);
        // Not a number and infinity are what a 32-bit number has for "no value"; the rest follows the entry.
        if (Number.isNaN(value))
          return whyNoValue(addressee, channel, input, unit, { kind: "no-value", wire: hex(words.value) });
        const understood = Number.isFinite(value)
          ? understandNumber(meaning.value, String(value))
          : ({ kind: "overload", sign: value > 0 ? 1 : -1, wire: hex(words.value) } as const);
        if (understood.kind === "reading") return success(understood.reading);
        return understood.kind === "malformed"
          ? failure("internal", `${rawOf(words.value, place)} could not be understood as a number.`)
          : whyNoValue(addressee, channel, input, unit, understood);
      }),
    );
  };

  const commandSetPoint = async (temperature: number): Promise<Outcome<null>> => {
    const setting = entry.setPoint;
    if (setting === undefined) return notInEntry(addressee, "a set point");
    const words = wordsOf(temperature, setting);
    if (words === null || temperature < setting.minimum || temperature > setting.maximum) {
      return failure(
        "run.limit",
        `The command for a set point of ${temperature} °C was not sent: the instrument's catalogue entry allows ${setting.minimum} to ${setting.maximum} °C. Correct the procedure, or the entry if it is wrong.`,
        { value: temperature, minimum: setting.minimum, maximum: setting.maximum },
      );
    }
    const back = setting.readBack ?? { table: "holding", address: setting.address };
    return turns.turn(async () => {
      const told = await ask(
        `write ${hex(words)} to register ${setting.address}`,
        (to) => to.write(setting.address, words, entry.timeout),
        () => "done",
      );
      if (!told.ok) return told;
      if (entry.pauseAfterCommand > 0) await pause(entry.pauseAfterCommand);
      const read = await ask(
        `read ${back.table} register ${back.address}`,
        (to) => to.read(back.table, back.address, words.length, entry.timeout),
        hex,
      );
      if (!read.ok) return read;
      const arrived = valueOf(read.value, setting);
      if (Math.abs(arrived - temperature) <= setting.within + setting.scale * 0.500_001) return success(null);
      return failure(
        "instrument.reported",
        `${calledFirst(addressee)} was sent a set point of ${temperature} °C but reads back ${arrived} °C. Check its own limits, whether it may be set from outside, and the scale and word order of its entry.`,
        { instrument: instrument.id, sent: temperature, readBack: arrived },
      );
    });
  };

  const outputOf =
    (output: NonNullable<RegisterEntry["output"]>) =>
    async (to: RegisterLink): Promise<Exchanged<boolean>> => {
      if (output.table === "coil") return to.readCoil(output.address, entry.timeout);
      const answer = await to.read("holding", output.address, 1, entry.timeout);
      return answer.kind === "answer" ? { kind: "answer", value: answer.value[0] === output.on } : answer;
    };

  const switchOutput = async (on: boolean): Promise<Outcome<null>> => {
    const { output } = entry;
    if (output === undefined) return notInEntry(addressee, "switching its output");
    const put = (to: RegisterLink) =>
      output.table === "coil"
        ? to.writeCoil(output.address, on, entry.timeout)
        : to.write(output.address, [on ? output.on : output.off], entry.timeout);
    const look = outputOf(output);
    return turns.turn(async () => {
      const told = await ask(
        `switch ${output.table} ${output.address} ${on ? "on" : "off"}`,
        put,
        () => "done",
        Math.max(entry.retries, 1),
      );
      if (!told.ok) return told;
      if (entry.pauseAfterCommand > 0) await pause(entry.pauseAfterCommand);
      const now = await ask(`read ${output.table} ${output.address}`, look, (value) => (value ? "on" : "off"));
      if (!now.ok) return now;
      if (now.value === on) return success(null);
      return failure(
        "instrument.reported",
        `${calledFirst(addressee)} was switched ${on ? "on" : "off"} but its output is still ${on ? "off" : "on"}. ${
          on
            ? "Check its interlocks and limits."
            : "Switch it off by hand, and let it cool below 50 °C before touching it."
        }`,
        { instrument: instrument.id, on },
      );
    }, !on);
  };

  const sourceState = (): Promise<Outcome<SourceState>> =>
    turns.turn(async () => {
      const { setPoint, output } = entry;
      let temperature: number | null = null;
      if (setPoint !== undefined) {
        const back = setPoint.readBack ?? { table: "holding" as const, address: setPoint.address };
        const count = registersOf(setPoint.type);
        const words = await ask(
          `read ${back.table} register ${back.address}`,
          (to) => to.read(back.table, back.address, count, entry.timeout),
          hex,
        );
        if (!words.ok) return words;
        temperature = valueOf(words.value, setPoint);
      }
      if (output === undefined) return success({ setPoint: temperature, output: null });
      const on = await ask(`read ${output.table} ${output.address}`, outputOf(output), (value) =>
        value ? "on" : "off",
      );
      return on.ok ? success({ setPoint: temperature, output: on.value }) : on;
    });

  return {
    addressee,
    sourceState,
    identify: () =>
      turns.turn(async () => {
        const on = await open();
        return on.kind === "answer" ? success(known ?? entry.title) : troubleFault(addressee, "identification", 1, on);
      }),
    reader,
    commandSetPoint,
    setRampRate: () => Promise.resolve(notInEntry(addressee, "a ramp rate of its own")),
    switchOutput,
    adjust: () => Promise.resolve(notInEntry(addressee, "adjusting")),
    async close() {
      closed = true;
      await turns.turn(drop, true);
    },
  };
};
