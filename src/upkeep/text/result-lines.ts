import type { UpkeepResult } from "../evaluate.ts";
import { inWords, withU } from "../words.ts";

const kindTitles: Readonly<Record<UpkeepResult["kind"], string>> = {
  characterisation: "Characterisation",
  "pull-test": "Pull test",
  "self-heating": "Two-current test",
  "reference-check": "Check",
};

const detailLines = (result: UpkeepResult): string[] => {
  switch (result.kind) {
    case "characterisation":
      return result.scatter > 1
        ? [`  Coming back to a place widened the uncertainties ${inWords(result.scatter)} times.`]
        : [];
    case "pull-test":
      return [
        ...result.withdrawals.map(({ distance, change, U }) => `  ${inWords(distance)} mm out: ${withU(change, U)}`),
        ...(result.length === null
          ? []
          : [
              `  length of the stem ${inWords(result.length.value)} mm (${inWords(result.length.interval[0])} to ${inWords(result.length.interval[1])})`,
            ]),
      ];
    case "self-heating":
      return [
        `  R at no current ${withU(result.zeroPower.value, result.zeroPower.U, "Ω")}`,
        `  ${inWords(result.coefficient * 1000)} mK per mW`,
      ];
    case "reference-check":
      return checkLines(result);
  }
};

const checkLines = (result: Extract<UpkeepResult, { kind: "reference-check" }>): string[] => {
  if (result.shift === null || result.resistance === null) return [];
  const { limits } = result.chart ?? { limits: null };
  return [
    `  found ${result.resistance.toFixed(5)} Ω, kit entry ${result.nominal.resistance.toFixed(5)} Ω: ${withU(result.shift.value, result.shift.U)}`,
    ...(result.allowance === null
      ? []
      : [`  the budget allows ±${inWords(result.allowance.limit)} K of drift on that day`]),
    ...(limits === null
      ? []
      : [
          `  chart: centre ${inWords(limits.centre)} K, warning ${inWords(limits.warning[0])} to ${inWords(limits.warning[1])} K, action ${inWords(limits.action[0])} to ${inWords(limits.action[1])} K`,
        ]),
    "  what it means elsewhere, K:   °C     W held   same ohms",
    ...result.everywhere.map(
      ({ temperature, ratioHeld, sameOhms }) =>
        `  ${inWords(temperature).padStart(32)}   ${ratioHeld.toFixed(4).padStart(8)}   ${sameOhms.toFixed(4).padStart(8)}`,
    ),
  ];
};

/** A result as lines for people: what was found, why, what it changes, what to mind. */
export const resultLines = (result: UpkeepResult): string[] => [
  `${kindTitles[result.kind]} of ${result.entry.id}, ${result.at.slice(0, 10)}, ${result.by}: ${result.verdict}`,
  result.statement,
  ...detailLines(result),
  ...result.figures.map(({ rationale, temperature }) => `  at ${inWords(temperature)} °C. ${rationale}.`),
  ...(result.revision === null
    ? []
    : [
        `Next revision of the kit entry, ${result.revision.entry.revision}, once approved:`,
        ...result.revision.changes.map(({ field, before, after }) => `  ${field}: ${before} → ${after}`),
      ]),
  ...result.warnings.map((warning) => `! ${warning}`),
];
