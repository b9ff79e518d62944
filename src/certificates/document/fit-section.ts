import type { FittedCoefficient, FittedItem, Item, ItemResult } from "#calibration";
import { passExplanations, superscript } from "./english.ts";
import type { Cell, FitSection } from "./model.ts";
import { cell, decimal, setMinus, significant, withUnit } from "./typeset.ts";

/** Digits of a printed coefficient: enough that the table follows from it to its last digit. */
const coefficientDigits = 9;

const subscripts = "₀₁₂₃₄₅₆₇₈₉";
const subscript = (digits: string): string => [...digits].map((digit) => subscripts[Number(digit)] ?? digit).join("");

const symbolOf = ({ name }: FittedCoefficient, model: FittedItem["model"]): string => {
  if (name === "r0") return "R₀";
  if (name === "rtpw") return "R(0.01 °C)";
  if (model === "callendar-van-dusen") return name.toUpperCase();
  const [, letter = name, digits = ""] = /^([a-z])(\d+)$/.exec(name) ?? [];
  return `${letter}${subscript(digits)}`;
};

/** Numbers of everyday size as decimals, small ones with a power of ten. */
const numberCell = (value: number, digits: number): Cell => {
  const rounded = Number(value.toPrecision(digits));
  const size = Math.abs(rounded);
  const plain = value.toPrecision(digits);
  if (size >= 0.01 && size < 1e5) return { text: setMinus(plain), plain };
  if (rounded === 0) return { text: "0", plain: "0" };
  const [mantissa, power] = value.toExponential(digits - 1).split("e") as [string, string];
  return {
    text: `${setMinus(mantissa)}·10${superscript(power.replace("+", ""))}`,
    plain: `${mantissa}e${Number(power)}`,
  };
};

const powers = (letter: string, degree: number): string =>
  Array.from({ length: degree + 1 }, (_, power) => {
    const variable = power === 0 ? "" : power === 1 ? "·t" : `·t${superscript(String(power))}`;
    return `${letter}${subscript(String(power))}${variable}`;
  }).join(" + ");

const scaleTerms = (subrange: number | null, names: readonly string[]): string => {
  const terms: Readonly<Record<string, string>> = {
    a: "a(W − 1)",
    b: subrange === 4 ? "b(W − 1)ln W" : "b(W − 1)²",
    c: "c(W − 1)³",
    d: "d(W − W(660.323 °C))² above the aluminium point",
  };
  const first = subrange === 1 ? 2 : subrange === 3 ? 1 : 0;
  return names
    .filter((name) => name !== "rtpw")
    .map(
      (name) =>
        terms[name] ?? `c${subscript(name.slice(1))}(ln W)${superscript(String(Number(name.slice(1)) + first))}`,
    )
    .join(" + ");
};

const equationText = (fit: FittedItem, item: Item): string => {
  const degree = fit.coefficients.length - 1;
  switch (fit.model) {
    case "callendar-van-dusen":
      return `R(t) = R₀·[1 + A·t + B·t²${fit.coefficients.length > 3 ? " + C·(t − 100 °C)·t³" : ""}]${fit.coefficients.length > 3 ? ", the term with C below 0 °C only" : ""}; the Callendar-Van Dusen equation of IEC\u00a060751, t in °C, R in Ω.`;
    case "its-90":
      return `W(t) − Wᵣ(t) = ${scaleTerms(
        fit.subrange,
        fit.coefficients.map(({ name }) => name),
      )}, W(t) = R(t)/R(0.01 °C); the deviation function of the International Temperature Scale of 1990 in its subrange ${fit.subrange}, R in Ω.`;
    case "thermocouple-deviation":
      return `E(t) = E′(t) + ${powers("d", degree)}, E′ being the reference function of IEC\u00a060584-1${item.sensor.kind === "thermocouple" ? ` for type ${item.sensor.type}` : ""}; t in °C, E in mV with the reference junction at 0 °C.`;
    case "polynomial":
      return `The signal at t in °C is ${powers("c", degree)}, in ${fit.unit}${item.sensor.kind === "thermocouple" ? ", with the reference junction at 0 °C" : ""}.`;
  }
};

const qualityText = (fit: FittedItem): string => {
  const points = fit.residuals.length;
  const largest = fit.residuals.reduce((most, entry) =>
    Math.abs(entry.kelvin) > Math.abs(most.kelvin) ? entry : most,
  );
  const left =
    fit.degreesOfFreedom === 0
      ? "so nothing is left to judge the fit by"
      : `${fit.degreesOfFreedom} degree${fit.degreesOfFreedom === 1 ? "" : "s"} of freedom left`;
  const scatter =
    fit.residualStandardDeviation === null
      ? ""
      : ` The points scatter about the curve ${significant(fit.residualStandardDeviation, 2)} times as much as their own uncertainties let expect.`;
  const notes = fit.notes.filter(
    (note) => !note.startsWith("The points scatter") && !note.startsWith("As many points"),
  );
  return `Fitted by weighted least squares to ${points} points, ${left}. The largest residual is ${setMinus(withUnit(significant(largest.kelvin, 2), "K"))}, at ${withUnit(setMinus(decimal(largest.nominal)), "°C")}.${scatter}${notes.map((note) => ` ${note}`).join("")}`;
};

const tableOf = (fit: FittedItem): FitSection["table"] => {
  const { lower, upper } = fit.range;
  const coverage = withUnit(decimal(fit.coverage * 100), "%");
  return {
    heading: `Table from ${withUnit(setMinus(decimal(lower)), "°C")} to ${withUnit(setMinus(decimal(upper)), "°C")}`,
    note: `What the equation gives. U is the expanded uncertainty of the fitted curve at that temperature (k = ${fit.k.toFixed(2)}, coverage probability about ${coverage}); it holds in full what all points have in common. It belongs to the item as calibrated, and does not hold the uncertainty of measuring with it afterwards. Between the rows use the equation.`,
    columns: [
      { heading: "t", unit: "°C" },
      { heading: fit.unit === "Ω" ? "R" : fit.unit === "mV" ? "E" : "Signal", unit: fit.unit },
      { heading: "U", unit: "K" },
    ],
    unit: fit.unit,
    coverage: decimal(fit.coverage),
    k: fit.k.toFixed(2),
    rows: fit.table.map(({ reported }) => ({
      temperature: cell(reported.temperature),
      signal: cell(reported.signal),
      U: cell(reported.U),
    })),
  };
};

/** The equation of an item as its last fitted pass gives it: as left where there is one, otherwise as found. */
export const fitSection = (item: Item, result: ItemResult): FitSection | null => {
  const pass = result.passes.findLast(({ fit }) => fit?.status === "fitted");
  if (pass?.fit?.status !== "fitted") return null;
  const { fit } = pass;
  return {
    heading: `Equation of the item ${passExplanations[pass.pass]}`,
    equation: equationText(fit, item),
    columns: { coefficient: "Coefficient", value: "Value", uncertainty: "Standard uncertainty", unit: "Unit" },
    coefficients: fit.coefficients.map((coefficient) => ({
      symbol: symbolOf(coefficient, fit.model),
      value: numberCell(coefficient.value, coefficientDigits),
      standardUncertainty: numberCell(coefficient.standardError, 2),
      unit: coefficient.unit,
    })),
    quality: qualityText(fit),
    table: tableOf(fit),
  };
};
