import type { FittedCoefficient, FittedItem, Item, ItemResult } from "#calibration";
import { superscript } from "./item-text.ts";
import type { Cell, FitSection } from "./model.ts";
import { decimal, significant } from "./typeset.ts";
import type { Writing } from "./writing.ts";

/** Digits of a printed coefficient: enough that the table follows from it to its last digit. */
const coefficientDigits = 9;

const subscripts = "₀₁₂₃₄₅₆₇₈₉";
const subscript = (digits: string): string => [...digits].map((digit) => subscripts[Number(digit)] ?? digit).join("");

const symbolOf = ({ name }: FittedCoefficient, model: FittedItem["model"], { set }: Writing): string => {
  if (name === "r0") return "R₀";
  if (name === "rtpw") return set.number("R(0.01 °C)");
  if (model === "callendar-van-dusen") return name.toUpperCase();
  const [, letter = name, digits = ""] = /^([a-z])(\d+)$/.exec(name) ?? [];
  return `${letter}${subscript(digits)}`;
};

/** Numbers of everyday size as decimals, small ones with a power of ten. */
const numberCell = (value: number, digits: number, { set }: Writing): Cell => {
  const rounded = Number(value.toPrecision(digits));
  const size = Math.abs(rounded);
  const plain = value.toPrecision(digits);
  if (size >= 0.01 && size < 1e5) return { text: set.number(plain), plain };
  if (rounded === 0) return { text: "0", plain: "0" };
  const [mantissa, power] = value.toExponential(digits - 1).split("e") as [string, string];
  return {
    text: `${set.number(mantissa)}·10${superscript(power.replace("+", ""))}`,
    plain: `${mantissa}e${Number(power)}`,
  };
};

const powers = (letter: string, degree: number): string =>
  Array.from({ length: degree + 1 }, (_, power) => {
    const variable = power === 0 ? "" : power === 1 ? "·t" : `·t${superscript(String(power))}`;
    return `${letter}${subscript(String(power))}${variable}`;
  }).join(" + ");

const scaleTerms = (subrange: number | null, names: readonly string[], { words, set }: Writing): string => {
  const terms: Readonly<Record<string, string>> = {
    a: "a(W − 1)",
    b: subrange === 4 ? "b(W − 1)ln W" : "b(W − 1)²",
    c: "c(W − 1)³",
    d: `d(W − W(${set.number("660.323 °C")}))² ${words.fit.aboveAluminium}`,
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

const equationText = (fit: FittedItem, item: Item, writing: Writing): string => {
  const said = writing.words.fit;
  const degree = fit.coefficients.length - 1;
  const type = item.sensor.kind === "thermocouple" ? item.sensor.type : "";
  switch (fit.model) {
    case "callendar-van-dusen": {
      const equation = "R(t) = R₀·[1 + A·t + B·t²";
      return fit.coefficients.length > 3
        ? said.callendarVanDusenBelow(`${equation} + C·(t − 100 °C)·t³]`)
        : said.callendarVanDusen(`${equation}]`);
    }
    case "its-90": {
      const names = fit.coefficients.map(({ name }) => name);
      return said.its90(
        `W(t) − Wᵣ(t) = ${scaleTerms(fit.subrange, names, writing)}, W(t) = R(t)/${writing.set.number("R(0.01 °C)")}`,
        String(fit.subrange),
      );
    }
    case "thermocouple-deviation":
      return said.deviation(`E(t) = E′(t) + ${powers("d", degree)}`, type);
    case "polynomial":
      return said.polynomial(powers("c", degree), fit.unit, type !== "");
  }
};

const qualityText = (fit: FittedItem, { words, set, language }: Writing): string => {
  const said = words.fit;
  const largest = fit.residuals.reduce((most, entry) =>
    Math.abs(entry.kelvin) > Math.abs(most.kelvin) ? entry : most,
  );
  const left = fit.degreesOfFreedom === 0 ? said.nothingLeft : said.degrees(fit.degreesOfFreedom);
  const scatter =
    fit.residualStandardDeviation === null ? "" : said.scatter(set.significant(fit.residualStandardDeviation, 2));
  const notes = fit.notes.filter(
    (note) => !note.startsWith("The points scatter") && !note.startsWith("As many points"),
  );
  const quality = said.quality(
    String(fit.residuals.length),
    left,
    set.unit(significant(largest.kelvin, 2), "K"),
    set.unit(decimal(largest.nominal), "°C"),
  );
  return `${quality}${scatter}${notes.map((note) => ` ${language === "en" ? note : words.results.inEnglish(note)}`).join("")}`;
};

const tableOf = (fit: FittedItem, { words, set }: Writing): FitSection["table"] => {
  const { lower, upper } = fit.range;
  const said = words.fit;
  return {
    heading: said.tableHeading(set.unit(decimal(lower), "°C"), set.unit(decimal(upper), "°C")),
    note: said.tableNote(set.number(fit.k.toFixed(2)), set.unit(decimal(fit.coverage * 100), "%")),
    columns: [
      { heading: "t", unit: "°C" },
      { heading: fit.unit === "Ω" ? "R" : fit.unit === "mV" ? "E" : said.signal, unit: fit.unit },
      { heading: "U", unit: "K" },
    ],
    unit: fit.unit,
    coverage: decimal(fit.coverage),
    k: fit.k.toFixed(2),
    rows: fit.table.map(({ reported }) => ({
      temperature: set.cell(reported.temperature),
      signal: set.cell(reported.signal),
      U: set.cell(reported.U),
    })),
  };
};

/** The equation of an item as its last fitted pass gives it: as left where there is one, otherwise as found. */
export const fitSection = (item: Item, result: ItemResult, writing: Writing): FitSection | null => {
  const pass = result.passes.findLast(({ fit }) => fit?.status === "fitted");
  if (pass?.fit?.status !== "fitted") return null;
  const { fit } = pass;
  return {
    heading: writing.words.fit.headingOf[pass.pass],
    equation: equationText(fit, item, writing),
    columns: writing.words.fit.columns,
    coefficients: fit.coefficients.map((coefficient) => ({
      symbol: symbolOf(coefficient, fit.model, writing),
      value: numberCell(coefficient.value, coefficientDigits, writing),
      standardUncertainty: numberCell(coefficient.standardError, 2, writing),
      unit: coefficient.unit,
    })),
    quality: qualityText(fit, writing),
    table: tableOf(fit, writing),
  };
};
