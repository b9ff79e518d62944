import { reported } from "#quantity";
import type { FoundFigure } from "./found.ts";

/** A figure in a sentence: four significant digits, without zeros at the end. */
export const inWords = (value: number): string => String(Number(value.toPrecision(4)));

/** A value with its U, rounded together (ILAC-P14). */
export const withU = (value: number, U: number, unit = "K"): string => {
  const rounded = reported(value, U);
  return rounded.ok
    ? `${rounded.value.value} ${unit} ± ${rounded.value.U} ${unit}`
    : `${inWords(value)} ${unit} ± ${inWords(U)} ${unit}`;
};

/** A table of limits in words. */
export const limitsInWords = (figures: readonly Pick<FoundFigure, "temperature" | "limit">[]): string =>
  figures.map(({ temperature, limit }) => `±${inWords(limit ?? 0)} K at ${inWords(temperature)} °C`).join(", ");
