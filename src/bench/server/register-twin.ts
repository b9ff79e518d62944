import { registersOf, valueOf, wordsOf, type RegisterEntry } from "#instruments";
import type { ChannelUnit } from "#quantity";
import type { ChannelReading } from "../plant/plant.ts";
import type { FaultBoard } from "../plant/live-faults.ts";
import { inAnswerUnit } from "./answer-units.ts";
import type { RolePort } from "./role-ports.ts";

/** What a Modbus server asks of an instrument; registers that are not declared are refused with exception 2. */
export interface RegisterTwin {
  readonly identification: readonly string[];
  readRegisters(table: "holding" | "input", address: number, count: number): Promise<number[]>;
  writeRegisters(address: number, words: readonly number[]): Promise<void>;
  readCoil(address: number): Promise<boolean>;
  writeCoil(address: number, on: boolean): Promise<void>;
}

/** An exception of the Modbus application protocol, as its server library takes it. */
const exception = (code: number): Error => Object.assign(new Error(`exception ${code}`), { modbusErrorCode: code });
const illegalAddress = () => exception(2);
const illegalValue = () => exception(3);

const never = new Promise<never>(() => undefined);

/**
 * A simulated instrument with exactly the registers that the entry declares: what its author says of the real one is what
 * the twin does, so that an entry can be tried before the instrument is there.
 */
export const registerTwin = (options: {
  readonly id: string;
  readonly entry: RegisterEntry;
  readonly role: RolePort;
  readonly faults: FaultBoard;
  readonly catchUp: () => number;
}): RegisterTwin => {
  const { id, entry, role, faults, catchUp } = options;
  const written = new Map<number, number>();

  /** Brings the plant up to now, and misbehaves as the faults on request say. */
  const begin = async () => {
    const time = catchUp();
    if (faults.empty()) return;
    if (faults.active("drop-out", id, time) !== undefined) await never;
    const slow = faults.active("slow", id, time);
    if (slow !== undefined) await new Promise((resolve) => setTimeout(resolve, slow.seconds * 1000));
  };

  const reading = (unit: ChannelUnit, input: number): ChannelReading | null => {
    if (role.role === "source") return unit === "°C" ? role.port.temperature() : null;
    if (role.role !== "readout") return null;
    return role.port.unitAt(input) === unit ? role.port.read(input) : { kind: "beyond", sign: 1 };
  };

  /** The words of what is read there: a place may be in the middle of a number. */
  const readable = (table: "holding" | "input", address: number): number | null => {
    for (const [unit, place] of Object.entries(entry.read)) {
      if (place.table !== table) continue;
      for (let input = place.inputs.first; input <= place.inputs.last; input += 1) {
        const first = place.address + (input - place.inputs.first) * (place.stride ?? 0);
        const offset = address - first;
        if (offset < 0 || offset >= registersOf(place.type)) continue;
        const found = reading(unit as ChannelUnit, input);
        const value =
          found === null || found.kind === "beyond"
            ? (place.openAt?.[0] ?? Number.NaN)
            : inAnswerUnit(found.value, unit as ChannelUnit, place.answers);
        return (wordsOf(value, place) ?? noValue(place.type))[offset]!;
      }
    }
    return null;
  };

  const setPointAt = (address: number): number | null => {
    const setting = entry.setPoint;
    if (setting === undefined || role.role !== "source") return null;
    const offset = address - setting.address;
    if (offset < 0 || offset >= registersOf(setting.type)) return null;
    return (wordsOf(role.port.setPointNow(), setting) ?? [0, 0])[offset]!;
  };

  const holding = (address: number): number | null => {
    const { output, identify } = entry;
    if (identify.by === "register" && identify.table === "holding" && identify.address === address)
      return identify.expect;
    if (output?.table === "holding" && output.address === address && role.role === "source")
      return role.port.outputOn() ? output.on : output.off;
    return setPointAt(address) ?? readable("holding", address);
  };

  const input = (address: number): number | null => {
    const { identify, setPoint } = entry;
    if (identify.by === "register" && identify.table === "input" && identify.address === address)
      return identify.expect;
    if (setPoint?.readBack?.table === "input" && address >= setPoint.readBack.address) {
      const shown = setPointAt(address - setPoint.readBack.address + setPoint.address);
      if (shown !== null) return shown;
    }
    return readable("input", address);
  };

  const takeSetPoint = (address: number, words: readonly number[]): boolean => {
    const setting = entry.setPoint;
    if (setting === undefined || role.role !== "source") return false;
    const count = registersOf(setting.type);
    words.forEach((word, index) => written.set(address + index, word));
    const all = Array.from({ length: count }, (_, index) => written.get(setting.address + index) ?? 0);
    if (address < setting.address || address + words.length > setting.address + count) return false;
    const value = valueOf(all, setting);
    if (value < role.port.range.minimum || value > role.port.range.maximum) throw illegalValue();
    role.port.setPoint(value);
    return true;
  };

  return {
    identification: ["Dwellpoint", `simulated ${entry.entry}`, "1"],
    async readRegisters(table, address, count) {
      await begin();
      return Array.from({ length: count }, (_, index) => {
        const word = table === "holding" ? holding(address + index) : input(address + index);
        if (word === null) throw illegalAddress();
        return word;
      });
    },
    async writeRegisters(address, words) {
      await begin();
      const { output } = entry;
      if (output?.table === "holding" && output.address === address && role.role === "source") {
        role.port.switchOutput(words[0] === output.on);
        return;
      }
      if (!takeSetPoint(address, words)) throw illegalAddress();
    },
    async readCoil(address) {
      await begin();
      if (entry.output?.table !== "coil" || entry.output.address !== address || role.role !== "source")
        throw illegalAddress();
      return role.port.outputOn();
    },
    async writeCoil(address, on) {
      await begin();
      if (entry.output?.table !== "coil" || entry.output.address !== address || role.role !== "source")
        throw illegalAddress();
      role.port.switchOutput(on);
    },
  };
};

/** A whole number has no word for "no value": its largest one stands for it. */
const noValue = (type: Parameters<typeof registersOf>[0]): readonly number[] =>
  type === "float32" ? [0x7fc0, 0] : registersOf(type) === 2 ? [0x7fff, 0xffff] : [0x7fff];
