import type { KitAnswers } from "#contract";

type Field = keyof KitAnswers;

const numbers: readonly Field[] = ["uncertainty", "k", "minimum", "maximum", "driftPerYear"];
const days: readonly Field[] = ["date", "due"];

export const fieldWords: Readonly<Record<Field, string>> = {
  id: "Name of the entry",
  description: "What it is",
  serial: "Serial number",
  certificate: "Certificate",
  laboratory: "Laboratory",
  date: "Calibrated on",
  due: "Due on",
  uncertainty: "U of the calibration, K",
  k: "Coverage factor k",
  minimum: "Lowest temperature, °C",
  maximum: "Highest temperature, °C",
  driftPerYear: "Drift in a year at most, K",
};

export const isField = (field: string): field is Field => field in fieldWords;

export const inputKind = (field: Field): "text" | "date" => (days.includes(field) ? "date" : "text");

/** What was typed as answers; what is empty, or no number where one is wanted, is left out. */
export const answersFrom = (typed: Readonly<Partial<Record<Field, string>>>): KitAnswers => {
  const answers: Record<string, string | number> = {};
  for (const [field, text] of Object.entries(typed) as [Field, string][]) {
    const word = text.trim();
    if (word === "") continue;
    if (!numbers.includes(field)) answers[field] = word;
    else {
      const value = Number(word.replace(",", "."));
      if (Number.isFinite(value)) answers[field] = value;
    }
  }
  return answers;
};
