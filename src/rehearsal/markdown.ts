import type { CellTable, Figures } from "./table.ts";

const none = "–";
const number = (value: number | null, digits: number): string => (value === null ? none : value.toFixed(digits));
const percent = (value: number | null, digits = 1): string => (value === null ? none : (100 * value).toFixed(digits));

interface Column {
  readonly head: string;
  cell(figures: Figures): string;
}

const columns: readonly Column[] = [
  { head: "points", cell: ({ points }) => String(points) },
  {
    head: "covered, % (± s. e.)",
    cell: ({ coverage, coverageStandardError }) => `${percent(coverage)} (${percent(coverageStandardError)})`,
  },
  { head: "beyond target, %", cell: ({ beyondTarget }) => percent(beyondTarget) },
  { head: "minutes (90 %)", cell: ({ minutes }) => `${number(minutes.median, 1)} (${number(minutes.p90, 1)})` },
  {
    head: "/ oracle (90 %)",
    cell: ({ timeToOracle, timeToOracle90 }) => `${number(timeToOracle, 2)} (${number(timeToOracle90, 2)})`,
  },
  { head: "/ foresight", cell: ({ timeToForesight }) => number(timeToForesight, 2) },
  {
    head: "/ soak 10, 20, 30",
    cell: (figures) =>
      [figures.timeToSoak10, figures.timeToSoak20, figures.timeToSoak30].map((each) => number(each, 2)).join(", "),
  },
  {
    head: "soaks beyond target, %",
    cell: ({ soaksBeyondTarget }) =>
      Object.values(soaksBeyondTarget)
        .map((each) => percent(each))
        .join(", "),
  },
  {
    head: "U, K (over what 95 % needs)",
    cell: ({ statedU, uToError }) => `${number(statedU, 3)} (${number(uToError, 2)})`,
  },
  { head: "settling covered, %", cell: ({ settling }) => percent(settling.covered) },
  { head: "false accept, reject, %", cell: (each) => `${percent(each.falseAccept)}, ${percent(each.falseReject)}` },
  { head: "slow tail said, %", cell: ({ tailSuspected }) => percent(tailSuspected) },
  {
    head: "forecast error at 30 %, 70 % of the wait (90 %)",
    cell: ({ forecast }) =>
      [forecast.wait30, forecast.wait70]
        .map(({ ofWait }) => `${percent(ofWait.median, 0)} (${percent(ofWait.p90, 0)})`)
        .join(", "),
  },
];

const row = (name: string, figures: Figures, extra: string): string =>
  `| ${[name, ...columns.map(({ cell }) => cell(figures)), extra].join(" | ")} |`;

/** The tables as Markdown, for a person and for the documents: a line a cell; by set point where asked. */
export const rehearsalTable = (
  cells: readonly CellTable[],
  pooled: Figures,
  options: { readonly bySetPoint?: boolean } = {},
): string => {
  const heads = ["cell", ...columns.map(({ head }) => head), "not measured"];
  const lines = cells.flatMap((cell) => {
    const name = cell.stress === null ? `${cell.source}, ${cell.item}` : `${cell.stress}: ${cell.source}, ${cell.item}`;
    const missed = cell.failedRuns === 0 ? String(cell.missed) : `${cell.missed}; ${cell.failedRuns} runs failed`;
    const setPoints = options.bySetPoint === true ? cell.setPoints : [];
    return [row(name, cell, missed), ...setPoints.map((each) => row(`… ${each.setPoint} °C`, each, ""))];
  });
  return [
    `| ${heads.join(" | ")} |`,
    `|${heads.map(() => "---").join("|")}|`,
    ...lines,
    row("pooled", pooled, ""),
    "",
  ].join("\n");
};
