import { channelUnits } from "#quantity";
import { identifierSchema } from "../job/item.ts";
import type { RunEventOf } from "./events.ts";

const keys = new Set(["kind", "n", "at", "channel", "unit", "times", "values", "wire"]);
const units: ReadonlySet<unknown> = new Set(channelUnits);
const soundNames = new Set<string>();

/** Whether a channel's name is one; a log names the same few ten thousand times. */
const isName = (value: unknown): boolean => {
  if (typeof value !== "string") return false;
  if (soundNames.has(value)) return true;
  if (!identifierSchema.safeParse(value).success) return false;
  if (soundNames.size < 1000) soundNames.add(value);
  return true;
};

const isMoment = (value: unknown): boolean =>
  typeof value === "number" && value >= 0 && value < Number.POSITIVE_INFINITY;
const areAll = (list: unknown, length: number, is: (value: unknown) => boolean): boolean =>
  Array.isArray(list) && list.length === length && list.every(is);

/**
 * A block of readings off the wire whose every field is what the schema asks for, told without the schema: nine tenths of a
 * log are such blocks, and this takes a tenth of the time. Anything else is undefined, and the schema then says what is wrong.
 */
export const soundReadings = (value: unknown): RunEventOf<"readings-taken"> | undefined => {
  if (typeof value !== "object" || value === null) return undefined;
  const block = value as Record<string, unknown>;
  if (block["kind"] !== "readings-taken") return undefined;
  for (const key in block) if (!keys.has(key)) return undefined;
  const { n, at, channel, unit, times, values, wire } = block;
  const sound =
    Number.isSafeInteger(n) &&
    isMoment(n) &&
    isMoment(at) &&
    isName(channel) &&
    units.has(unit) &&
    Array.isArray(times) &&
    times.length > 0 &&
    times.every(isMoment) &&
    areAll(values, times.length, Number.isFinite) &&
    (!("wire" in block) || areAll(wire, times.length, (each) => typeof each === "string"));
  return sound ? (value as RunEventOf<"readings-taken">) : undefined;
};
