import { reported, measuredUnit, type ChannelUnit } from "#quantity";
import { standardUncertaintyOfLimits, type Distribution } from "#uncertainty";

export type LineUnit = "K" | "Ω" | "mV" | "mA";

/** A line of a point's budget before it is combined. */
export interface PointLine {
  readonly id: string;
  readonly name: string;
  readonly u: number;
  readonly unit: LineUnit;
  readonly distribution: Exclude<Distribution, "trapezoid">;
  readonly dof: number;
  /** K per unit, with its sign in the model error = indication − reference. */
  readonly sensitivity: number;
  readonly source: string;
  readonly origin: readonly number[];
}

/** A channel's unit as that of a budget line: a temperature is uncertain by kelvin. */
export const unitOfLine = (unit: ChannelUnit): LineUnit => {
  const measured = measuredUnit(unit);
  return measured === "°C" ? "K" : measured;
};

/** A difference with its U in a sentence, rounded as results are (ILAC-P14). */
export const differenceInWords = (difference: number, U: number): string => {
  const rounded = reported(difference, U);
  return rounded.ok ? `${rounded.value.value} K ± ${rounded.value.U} K` : `${inWords(difference)} K ± ${inWords(U)} K`;
};

/** A figure in a sentence: four significant digits, without zeros at the end. */
export const inWords = (value: number): string => String(Number(value.toPrecision(4)));

/** A line of which only limits ±`halfWidth` are known: rectangular, infinitely many degrees of freedom (JCGM 100:2008, 4.3.7). */
export const limitsLine = (
  line: Omit<PointLine, "u" | "distribution" | "dof" | "unit"> & { readonly unit?: LineUnit },
  halfWidth: number,
): PointLine => ({
  ...line,
  unit: line.unit ?? "K",
  u: standardUncertaintyOfLimits(halfWidth, "rectangular"),
  distribution: "rectangular",
  dof: Number.POSITIVE_INFINITY,
});
