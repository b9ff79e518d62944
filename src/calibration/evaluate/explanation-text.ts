import { inWords } from "./budget-line.ts";
import type { Explanation } from "./explain.ts";

const table = (head: readonly string[], rows: readonly (readonly string[])[]): string[] => {
  const widths = head.map((title, column) => Math.max(title.length, ...rows.map((row) => row[column]!.length)));
  return [head, ...rows].map(
    (row) =>
      `  ${row.map((cell, column) => (column === 0 ? cell.padEnd(widths[column]!) : cell.padStart(widths[column]!))).join("  ")}`,
  );
};

const readingsText = ({
  readings,
  referenceUnit,
  itemUnit,
  referenceEquation,
  itemEquation,
}: Explanation): string[] => {
  const hasJunction = readings.some(({ junction }) => junction !== null);
  const head = [
    "time/s",
    `reference/${referenceUnit}`,
    "reference/°C",
    `item/${itemUnit}`,
    ...(hasJunction ? ["junction/°C"] : []),
    "item/°C",
    "difference/K",
  ];
  const rows = readings.map((row) => [
    row.time.toFixed(1),
    row.referenceSignal.toFixed(5),
    row.referenceTemperature.toFixed(4),
    row.itemSignal.toFixed(5),
    ...(hasJunction ? [(row.junction ?? Number.NaN).toFixed(3)] : []),
    row.itemTemperature.toFixed(4),
    row.difference.toFixed(4),
  ]);
  return [
    "1. Readings, the reference at the moment of the item",
    `  reference: ${referenceEquation}`,
    `  item: ${itemEquation}`,
    ...table(head, rows),
  ];
};

const conversionText = ({ conversions, corrections }: Explanation): string[] => [
  "2. Conversion of the mean signals",
  ...conversions.flatMap(({ of, lines }) => lines.map(({ symbols, values }) => `  ${of}: ${symbols}\n    ${values}`)),
  "  corrections:",
  ...corrections.map(({ name, words }) => `    ${name}: ${words}`),
];

const meansText = ({ result, model }: Explanation): string[] => [
  "3. Means and model",
  `  reference   ${result.reference.value.toFixed(4)} °C   (log lines ${result.reference.origin.map((n) => n + 1).join(", ")})`,
  `  indication  ${result.indication.value.toFixed(4)} °C   (log lines ${result.indication.origin.map((n) => n + 1).join(", ")})`,
  `  ${model.symbols}`,
  `  ${model.values}`,
  `  ${result.readings} pairs, worth ${inWords(result.effectiveReadings)} independent ones`,
];

const budgetText = ({ result, model }: Explanation): string[] => {
  const { lines, u, degreesOfFreedom, k, U, coverage } = result.budget;
  const rows = lines.map((line, index) => [
    `${model.inputs[index]!.symbol.padEnd(3)} ${line.id}`,
    `${inWords(line.u)} ${line.unit}`,
    line.distribution,
    line.degreesOfFreedom === null ? "∞" : inWords(line.degreesOfFreedom),
    inWords(line.sensitivity),
    line.contribution.toFixed(5),
    `${(100 * line.share).toFixed(1)} %`,
    line.source,
  ]);
  const head = ["line", "u", "distribution", "ν", "c/(K/unit)", "|c|·u/K", "share", "source"];
  const widest = table(
    head.slice(0, -1),
    rows.map((row) => row.slice(0, -1)),
  );
  return [
    "4. Budget",
    ...widest.map((text, index) => `${text}  ${index === 0 ? "source" : rows[index - 1]!.at(-1)!}`),
    `  u = √Σ(c·u)² = ${u.toFixed(5)} K, ν_eff = ${degreesOfFreedom === null ? "∞" : inWords(degreesOfFreedom)}, k = ${k.toFixed(3)} at ${(100 * coverage).toFixed(2)} %, U = k·u = ${U.toFixed(5)} K`,
    `  reported (ILAC-P14): error ${result.reported.error} K ± ${result.reported.U} K, reference ${result.reported.reference} °C, indication ${result.reported.indication} °C`,
  ];
};

const decisionText = ({ decision }: Explanation): string[] => [
  "5. Conformity",
  ...[decision.rule, decision.comparison, ...decision.risks].map((words) => `  ${words}`),
];

/** The derivation as text for a terminal or a file, log lines counted from 1. */
export const explanationText = (explanation: Explanation): string => {
  const { run, tag, item, pass, result } = explanation;
  const parts = [readingsText, conversionText, meansText, budgetText, decisionText].map((part) =>
    part(explanation).join("\n"),
  );
  return [
    `${tag} (${item}), ${pass}, point ${result.point + 1} at ${result.nominal} °C, run ${run}`,
    ...parts,
    "",
  ].join("\n\n");
};
