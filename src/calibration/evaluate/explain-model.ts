import type { ChannelUnit } from "#quantity";
import type { MeasuredPoint } from "../result/result.ts";
import { inWords } from "./budget-line.ts";
import type { PointModelDescription } from "./point-model.ts";

/** An input of the model whose estimate is 0, with its symbol. */
interface ExplainedInput {
  readonly symbol: string;
  readonly id: string;
  readonly name: string;
  /** Where it enters: on a signal, at the reference junction, or as a temperature. */
  readonly entrance: "item-signal" | "reference-signal" | "junction" | "temperature";
  readonly u: number;
  readonly unit: "K" | "Ω" | "mV" | "mA";
}

/** The equation of measurement of a point's error, in symbols and with the values put in. */
export interface ExplainedModel {
  readonly symbols: string;
  readonly values: string;
  readonly inputs: readonly ExplainedInput[];
}

const subscripts = "₀₁₂₃₄₅₆₇₈₉";
const symbolOf = (index: number): string =>
  `δ${[...String(index + 1)].map((digit) => subscripts[Number(digit)]).join("")}`;

const letter: Readonly<Record<string, string>> = { Ω: "R", mV: "V", mA: "I", "°C": "t" };

/** A signal to eight significant digits, without zeros at the end. */
const signalText = (value: number): string => String(Number(value.toPrecision(8)));

const factor = (sensitivity: number): string => {
  const sign = sensitivity < 0 ? "−" : "+";
  const size = Math.abs(sensitivity);
  return Math.abs(size - 1) < 1e-12 ? `${sign} ` : `${sign} ${inWords(size)}·`;
};

/**
 * The model of JCGM 101:2008, clause 5, for one point: both signals with their deviations through the sensors' own equations,
 * and what is a temperature already added. Every δ is estimated as 0; its uncertainty is a line of the budget.
 */
export const explainedModel = (
  { inputs, signal, referenceSignal, junction }: PointModelDescription,
  { budget, reference, indication, error }: MeasuredPoint,
  unit: ChannelUnit,
  referenceUnit: ChannelUnit,
): ExplainedModel => {
  const named = inputs.map((input, index) => ({ ...input, symbol: symbolOf(index) }));
  const sum = (entrance: ExplainedInput["entrance"]): string =>
    named
      .filter((input) => input.entrance === entrance)
      .map(({ symbol }) => ` + ${symbol}`)
      .join("");
  const beside = named
    .filter(({ entrance }) => entrance === "temperature")
    .map(({ sensitivity, symbol }) => ` ${factor(sensitivity)}${symbol}`)
    .join("");
  const own = letter[unit] ?? "x";
  const hasJunction = junction !== null;
  return {
    symbols: `e = t_item(${own}${sum("item-signal")}${hasJunction ? `; t_cj${sum("junction")}` : ""}) − t_ref(${letter[referenceUnit] ?? "x"}${own === letter[referenceUnit] ? "_ref" : ""}${sum("reference-signal")})${beside}`,
    values: `e = t_item(${signalText(signal)} ${unit}${hasJunction ? `; ${junction.toFixed(3)} °C` : ""}) − t_ref(${signalText(referenceSignal)} ${referenceUnit}) = ${indication.value.toFixed(4)} °C − ${reference.value.toFixed(4)} °C = ${error.value.toFixed(4)} K, every δ being 0`,
    inputs: budget.lines.map((line, index) => ({
      symbol: symbolOf(index),
      id: line.id,
      name: line.name,
      entrance: named[index]!.entrance,
      u: line.u,
      unit: line.unit,
    })),
  };
};
