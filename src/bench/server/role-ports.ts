import type { BenchChannel, BenchInstrument } from "#instruments";
import type { ChannelUnit } from "#quantity";
import type { ChannelReading, Plant } from "../plant/plant.ts";

/** What an instrument of each role has to do with the plant, whatever language it speaks. */
export interface SourcePort {
  readonly range: { readonly minimum: number; readonly maximum: number };
  temperature(): ChannelReading;
  setPoint(temperature: number): void;
  setPointNow(): number;
  switchOutput(on: boolean): void;
  outputOn(): boolean;
}

export interface ReadoutPort {
  readonly inputs: number;
  /** What is wired to an input; null for nothing. */
  unitAt(input: number): ChannelUnit | null;
  read(input: number): ChannelReading;
  /** What the probe in an input says that it is, in the words of the entry; null for nothing, or a probe that cannot say. */
  probeAt(input: number): string | null;
}

export interface ItemPort {
  trims(): { readonly zero: number; readonly span: number };
  trim(zero: number, span: number): void;
}

export type Channels = Readonly<Record<string, BenchChannel>>;

const readoutInputs = 16;

export const sourcePort = (id: string, plant: Plant, channels: Channels, range: SourcePort["range"]): SourcePort => {
  const control = Object.entries(channels).find(([, { instrument }]) => instrument === id)?.[0] ?? id;
  return { ...plant, range, temperature: () => plant.control(control) };
};

export const itemPort = (id: string, plant: Plant): ItemPort => ({
  trims: () => plant.trims(id) ?? { zero: 0, span: 0 },
  trim: (zero, span) => plant.trim(id, zero, span),
});

/** What is plugged in, by channel. */
export type Plugged = ReadonlyMap<string, string>;

export const readoutPort = (id: string, plant: Plant, channels: Channels, plugged: Plugged): ReadoutPort => {
  const wired = new Map(
    Object.entries(channels).flatMap(([name, { instrument, input, unit }]) =>
      instrument === id ? [[input, { name, unit }] as const] : [],
    ),
  );
  return {
    inputs: readoutInputs,
    unitAt: (input) => wired.get(input)?.unit ?? null,
    read: (input) => plant.read(wired.get(input)!.name),
    probeAt: (input) => plugged.get(wired.get(input)?.name ?? "") ?? null,
  };
};

export type RolePort =
  | { readonly role: "source"; readonly port: SourcePort }
  | { readonly role: "readout"; readonly port: ReadoutPort }
  | { readonly role: "item"; readonly port: ItemPort };

export const rolePort = (
  { id, role }: Pick<BenchInstrument, "id" | "role">,
  plant: Plant,
  channels: Channels,
  range: SourcePort["range"],
  plugged: Plugged = new Map(),
): RolePort => {
  if (role === "source") return { role, port: sourcePort(id, plant, channels, range) };
  return role === "item"
    ? { role, port: itemPort(id, plant) }
    : { role, port: readoutPort(id, plant, channels, plugged) };
};
