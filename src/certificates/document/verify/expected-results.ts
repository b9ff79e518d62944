import type { CertificateDocument, FitSection, PassSection, ResultRow, SwitchRow } from "../model.ts";
import { kelvinText } from "../kelvin-text.ts";
import type { StatedList, StatedResult } from "./stated-certificate.ts";

const conformityWords: Readonly<Record<ResultRow["decision"]["kind"], string>> = {
  pass: "pass",
  "conditional-pass": "conditionalPass",
  undecided: "noPass",
  "conditional-fail": "conditionalFail",
  fail: "fail",
  none: "noPass",
};

const acceptanceOf = (row: ResultRow, side: "lower" | "upper"): string =>
  (row.acceptanceLimits ?? (row.decision.kind === "undecided" ? null : row.limits))?.[side] ?? "NaN";

const decided = (rows: readonly ResultRow[], prefix = ""): StatedList[] =>
  rows.every(({ decision }) => decision.kind === "none")
    ? []
    : [
        { name: `${prefix}decision`, values: rows.map(({ decision }) => conformityWords[decision.kind]) },
        { name: `${prefix}lower acceptance limit`, values: rows.map((row) => acceptanceOf(row, "lower")) },
        { name: `${prefix}upper acceptance limit`, values: rows.map((row) => acceptanceOf(row, "upper")) },
        { name: `${prefix}lower limit of tolerance`, values: rows.map((row) => row.limits?.lower ?? "NaN") },
        { name: `${prefix}upper limit of tolerance`, values: rows.map((row) => row.limits?.upper ?? "NaN") },
      ];

const temperatures = (name: string, values: readonly string[]): StatedList[] => [
  { name: `${name} in kelvin`, values: values.map(kelvinText) },
  { name, values },
];

const pointLists = ({ rows }: PassSection): StatedList[] =>
  rows.length === 0
    ? []
    : [
        ...temperatures(
          "reference",
          rows.map(({ reference }) => reference.plain),
        ),
        ...temperatures(
          "point",
          rows.map(({ nominal }) => nominal.plain),
        ),
        ...temperatures(
          "indication",
          rows.map(({ indication }) => indication.plain),
        ),
        { name: "error", values: rows.map(({ error }) => error.plain) },
        { name: "U of error", values: rows.map(({ U }) => U.plain) },
        { name: "k of error", values: rows.map(({ k }) => k.plain) },
        ...decided(rows),
      ];

const actionNames: Readonly<Record<SwitchRow["id"], string>> = {
  trip: "trip",
  reset: "reset",
  "dead-band": "dead band",
};

const actionLists = ({ id, row }: SwitchRow, index: number): StatedList[] => {
  const prefix = `action ${index + 1}, `;
  const list = (name: string, value: string): StatedList[] => [
    { name: `${prefix}${name}`, values: [value] },
    { name: `U of ${prefix}${name}`, values: [row.U.plain] },
    { name: `k of ${prefix}${name}`, values: [row.k.plain] },
  ];
  return [
    ...list(actionNames[id], row.measured!.plain),
    ...(row.nominal.plain === "" ? [] : [{ name: `${prefix}agreed temperature`, values: [row.nominal.plain] }]),
    ...(row.error.plain === "" ? [] : list("error", row.error.plain)),
    ...decided([row], prefix),
  ];
};

const fitLists = ({ coefficients, table: { rows } }: FitSection): StatedList[] => [
  ...coefficients.map(({ value }) => ({ name: "coefficient", values: [value.plain] })),
  ...temperatures(
    "temperature",
    rows.map(({ temperature }) => temperature.plain),
  ),
  { name: "signal", values: rows.map(({ signal }) => signal.plain) },
  { name: "U", values: rows.map(({ U }) => U.plain) },
];

/** What the XML of a document must state, list by list, in the form in which it is read back. */
export const expectedResults = ({ items }: CertificateDocument): readonly StatedResult[] =>
  items.flatMap((section, item) => [
    ...section.passes.map((pass) => ({
      item,
      kind: pass.pass,
      lists: pass.switch === undefined ? pointLists(pass) : pass.switch.flatMap(actionLists),
    })),
    ...(section.fit === null ? [] : [{ item, kind: "equation" as const, lists: fitLists(section.fit) }]),
  ]);
