import { z } from "zod";

export const registerTypes = ["int16", "uint16", "int32", "uint32", "float32"] as const;

/** How a number lies in 16-bit registers. */
export const registerCodingSchema = {
  type: z.enum(registerTypes),
  wordOrder: z
    .enum(["high-first", "low-first"])
    .default("high-first")
    .describe("which register of a 32-bit number comes first; makers differ, so check with a value that is known"),
  scale: z.number().positive().default(1).describe("value = number in the register × scale + offset"),
  offset: z.number().default(0),
};

export interface RegisterCoding {
  readonly type: (typeof registerTypes)[number];
  readonly wordOrder: "high-first" | "low-first";
  readonly scale: number;
  readonly offset: number;
}

const wide = (type: RegisterCoding["type"]) => type === "int32" || type === "uint32" || type === "float32";

/** How many registers a number takes. */
export const registersOf = (type: RegisterCoding["type"]): 1 | 2 => (wide(type) ? 2 : 1);

const limits: Readonly<Record<Exclude<RegisterCoding["type"], "float32">, readonly [number, number]>> = {
  int16: [-32_768, 32_767],
  uint16: [0, 65_535],
  int32: [-2_147_483_648, 2_147_483_647],
  uint32: [0, 4_294_967_295],
};

/** A scale of 0.1 or 0.001 is a decimal point: dividing by 10 or 1000 gives 23.5 where multiplying gives 23.500000000000004. */
const scaled = (raw: number, scale: number): number => {
  const divisor = Math.round(1 / scale);
  return divisor > 1 && Math.abs(scale * divisor - 1) < 1e-12 ? raw / divisor : raw * scale;
};

const ordered = (words: readonly number[], coding: RegisterCoding): readonly number[] =>
  coding.wordOrder === "high-first" ? words : [...words].reverse();

/** The number as it lies in the registers, before scaling. Each register 0 to 65,535; as many as the type takes. */
export const rawOf = (words: readonly number[], coding: RegisterCoding): number => {
  const view = new DataView(new ArrayBuffer(4));
  ordered(words, coding).forEach((word, index) => view.setUint16(index * 2, word));
  switch (coding.type) {
    case "int16":
      return view.getInt16(0);
    case "uint16":
      return view.getUint16(0);
    case "int32":
      return view.getInt32(0);
    case "uint32":
      return view.getUint32(0);
    case "float32":
      return view.getFloat32(0);
  }
};

/** A 32-bit number has some seven digits: 23.4 comes as 23.399999618…, and with seven it is 23.4 again. */
const asWritten = (raw: number, coding: RegisterCoding): number =>
  coding.type === "float32" && Number.isFinite(raw) ? Number(raw.toPrecision(7)) : raw;

/** The number in its unit; an offset adds no digits that were not there. */
export const valueOf = (words: readonly number[], coding: RegisterCoding): number => {
  const value = scaled(asWritten(rawOf(words, coding), coding), coding.scale);
  return coding.offset === 0 ? value : Number((value + coding.offset).toPrecision(12));
};

/** Registers for a value; null when it does not fit the type. */
export const wordsOf = (value: number, coding: RegisterCoding): readonly number[] | null => {
  const raw = (value - coding.offset) / coding.scale;
  if (!Number.isFinite(raw)) return null;
  const view = new DataView(new ArrayBuffer(4));
  if (coding.type === "float32") {
    view.setFloat32(0, raw);
    if (!Number.isFinite(view.getFloat32(0))) return null;
  } else {
    const whole = Math.round(raw);
    const [least, most] = limits[coding.type];
    if (whole < least || whole > most) return null;
    if (wide(coding.type)) view.setInt32(0, whole | 0);
    else view.setInt16(0, whole);
  }
  const words = wide(coding.type) ? [view.getUint16(0), view.getUint16(2)] : [view.getUint16(0)];
  return ordered(words, coding);
};
