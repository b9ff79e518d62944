import type { InstrumentValue } from "#contract";
import type { Entry } from "./suggested-addresses.ts";

/**
 * The unit whose value is shown first: one that gave a value when all were tried, as that is what is wired to the input;
 * else the entry's first. Null where the entry reads nothing.
 */
export const unitShown = ({ reads }: Pick<Entry, "reads">, tried: readonly InstrumentValue[]): string | null =>
  tried.find(({ value }) => value !== null)?.unit ?? reads[0]?.unit ?? null;
