import type { SignalUnit } from "#quantity";
import type { ChannelReading } from "../plant/plant.ts";
import type { ItemPort, ReadoutPort, RolePort, SourcePort } from "./role-ports.ts";
import type { Handler, UnitResult } from "./scpi-instrument.ts";

/** Infinity and "not a number" as SCPI-1999 7.2.1.4 and 7.2.1.5 write them. */
const beyond = (sign: 1 | -1) => (sign > 0 ? "+9.9E+37" : "-9.9E+37");
const noNumber = "+9.91E+37";

const decimals: Readonly<Record<SignalUnit, number>> = { Ω: 4, mV: 4, mA: 4, "°C": 3 };
/** Instruments answer in base units: volt and ampere. */
const exponents: Readonly<Record<SignalUnit, string>> = { Ω: "", mV: "E-03", mA: "E-03", "°C": "" };

export const formatReading = (unit: SignalUnit, reading: ChannelReading): string => {
  if (reading.kind === "beyond") return beyond(reading.sign);
  const digits = reading.value.toFixed(decimals[unit]);
  return `${digits.startsWith("-") ? "" : "+"}${digits}${exponents[unit]}`;
};

/** A contact without voltage, by its resistance: some tenths of an ohm closed, beyond measure open. */
const formatContact = (reading: ChannelReading): string =>
  reading.kind === "value" && reading.value > 0.5 ? "+0.2140" : beyond(1);

const number = (text: string): number | null =>
  /^[+-]?(\d+\.?\d*|\.\d+)([Ee][+-]?\d+)?$/.test(text) ? Number(text) : null;

const truthValue = (text: string): boolean | null => {
  const word = text.toUpperCase();
  if (word === "ON" || word === "1") return true;
  return word === "OFF" || word === "0" ? false : null;
};

const withOne = (parameters: readonly string[], use: (parameter: string) => UnitResult): UnitResult => {
  if (parameters.length === 0) return { error: "missingParameter" };
  return parameters.length > 1 ? { error: "parameterNotAllowed" } : use(parameters[0]!);
};

/** A heat source: temperature, set point, output. */
export const sourceCommands = (port: SourcePort): Readonly<Record<string, Handler>> => ({
  "MEASure[:SCALar]:TEMPerature?": () => ({ answer: formatReading("°C", port.temperature()) }),
  "[SOURce]:TEMPerature:SPOint": (parameters) =>
    withOne(parameters, (text) => {
      const value = number(text);
      if (value === null) return { error: "illegalValue" };
      if (value < port.range.minimum || value > port.range.maximum) return { error: "outOfRange" };
      port.setPoint(value);
      return null;
    }),
  "[SOURce]:TEMPerature:SPOint?": ([which]) => {
    const word = which?.toUpperCase();
    const { minimum, maximum } = port.range;
    const value =
      word === "MIN" || word === "MINIMUM"
        ? minimum
        : word === "MAX" || word === "MAXIMUM"
          ? maximum
          : port.setPointNow();
    return { answer: value.toFixed(3) };
  },
  "OUTPut[:STATe]": (parameters) =>
    withOne(parameters, (text) => {
      const on = truthValue(text);
      if (on === null) return { error: "illegalValue" };
      port.switchOutput(on);
      return null;
    }),
  "OUTPut[:STATe]?": () => ({ answer: port.outputOn() ? "1" : "0" }),
  "UNIT:TEMPerature?": () => ({ answer: "C" }),
});

/** The channel list `(@n)`: one input; the first where none is given. Null when it is something else. */
const inputOf = (parameters: readonly string[]): number | null => {
  if (parameters.length === 0) return 1;
  const match = parameters.length === 1 ? /^\(@\s*(\d{1,4})\s*\)$/.exec(parameters[0]!) : null;
  return match === null ? null : Number(match[1]);
};

/** A readout with several inputs: resistance by four wires, voltage, current, temperature. */
export const readoutCommands = (port: ReadoutPort): Readonly<Record<string, Handler>> => {
  const measure =
    (unit: SignalUnit): Handler =>
    (parameters) => {
      const input = inputOf(parameters);
      if (input === null) return { error: "illegalValue" };
      if (input < 1 || input > port.inputs) return { error: "outOfRange" };
      const wired = port.unitAt(input);
      // Nothing connected is an open input; the wrong function for what is connected has no value.
      if (wired === null) return { answer: beyond(1) };
      return { answer: wired === unit ? formatReading(unit, port.read(input)) : noNumber };
    };
  const measureContact: Handler = (parameters) => {
    const input = inputOf(parameters);
    if (input === null) return { error: "illegalValue" };
    if (input < 1 || input > port.inputs) return { error: "outOfRange" };
    const wired = port.unitAt(input);
    if (wired === null) return { answer: beyond(1) };
    return { answer: wired === "contact" ? formatContact(port.read(input)) : noNumber };
  };
  return {
    "MEASure[:SCALar]:RESistance?": measureContact,
    "MEASure[:SCALar]:FRESistance?": measure("Ω"),
    "MEASure[:SCALar][:VOLTage][:DC]?": measure("mV"),
    "MEASure[:SCALar]:CURRent[:DC]?": measure("mA"),
    "MEASure[:SCALar]:TEMPerature?": measure("°C"),
    "UNIT:TEMPerature?": () => ({ answer: "C" }),
  };
};

/** An item's own maintenance channel: zero and span, changed only while the adjustment is unlocked. */
export const itemCommands = (port: ItemPort): Readonly<Record<string, Handler>> => {
  let unlocked = false;
  const largest = 50;
  const change =
    (apply: (value: number) => void): Handler =>
    (parameters) =>
      withOne(parameters, (text) => {
        const value = number(text);
        if (value === null) return { error: "illegalValue" };
        if (!unlocked) return { error: "protected" };
        if (Math.abs(value) > largest) return { error: "outOfRange" };
        apply(value);
        return null;
      });
  return {
    "CALibration:STATe": (parameters) =>
      withOne(parameters, (text) => {
        const on = truthValue(text);
        if (on === null) return { error: "illegalValue" };
        unlocked = on;
        return null;
      }),
    "CALibration:STATe?": () => ({ answer: unlocked ? "1" : "0" }),
    "CALibration:TRIM:ZERO": change((zero) => port.trim(zero, port.trims().span)),
    "CALibration:TRIM:ZERO?": () => ({ answer: port.trims().zero.toFixed(4) }),
    "CALibration:TRIM:SPAN": change((span) => port.trim(port.trims().zero, span)),
    "CALibration:TRIM:SPAN?": () => ({ answer: port.trims().span.toFixed(4) }),
  };
};

/** The words of each role. */
export const commandsOf = (role: RolePort): Readonly<Record<string, Handler>> => {
  if (role.role === "source") return sourceCommands(role.port);
  return role.role === "item" ? itemCommands(role.port) : readoutCommands(role.port);
};
