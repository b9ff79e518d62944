import { figureAt } from "../job/table.ts";
import { inWords, limitsLine, type PointLine } from "./budget-line.ts";
import { driftOverWindow } from "./drift-over-window.ts";
import { movement } from "./movement.ts";
import type { SettlingEvidence } from "../log/events.ts";
import type { PointData } from "./point-data.ts";

/** How far the reference moved to either side within the window, its noise taken off, K. */
export const movementInWindow = ({ pairs }: Pick<PointData, "pairs">): number => movement(pairs.referenceTemperatures);

/** What the source leaves between the places of reference and item, whatever it does (rule C17). */
export const placeLines = (data: Pick<PointData, "job" | "reference">): PointLine[] => {
  const { source } = data.job.kit;
  const common = { sensitivity: -1, origin: [0] };
  const characterised = source.characterised === undefined ? "" : `, characterised ${source.characterised}`;
  const figures = [
    ["axial", "Source, along the sensing zone"],
    ["radial", "Source, between the wells"],
    ["loading", "Source, loading"],
  ] as const;
  return figures.map(([figure, name]) => {
    const halfWidth = figureAt(source[figure], data.reference);
    const found = source.evidence?.[figure];
    const by = found === undefined ? characterised : `, ${found}`;
    return limitsLine(
      { ...common, id: `source.${figure}`, name, source: `kit entry ${source.id}${by}: ±${inWords(halfWidth)} K` },
      halfWidth,
    );
  });
};

/** What the source leaves between the places of reference and item, its movement included (rules C17 and C18). */
export const sourceLines = (data: PointData): PointLine[] => {
  const moved = movementInWindow(data);
  return [
    ...placeLines(data),
    limitsLine(
      {
        sensitivity: -1,
        id: "source.stability",
        name: "Source, movement that pairing does not cancel",
        source: `log: the reference moved by ±${inWords(moved)} K within the window`,
        origin: data.pairs.referenceOrigin,
      },
      moved,
    ),
  ];
};

const ruleUnits = { soak: "s", spread: "K", slope: "K/min" } as const;

/** How the rules of the written procedure stood; nothing where it has none. */
const ruleWords = ({ rules, judgement, ownReady }: SettlingEvidence): string => {
  if (rules === undefined) return "";
  const each = rules.map(({ rule, on, window, value, limit, holds }) => {
    const over = rule === "soak" ? "" : ` of ${on} over ${window} s`;
    const found = value === null ? "not known" : `${inWords(value)} ${ruleUnits[rule]}`;
    return `${rule}${over}: ${found}, limit ${limit} ${ruleUnits[rule]}${holds ? "" : ", not met"}`;
  });
  const own =
    judgement === "rules" && ownReady === false
      ? "; the written rules alone bound, our own judgement did not hold yet"
      : "";
  return `; written rules: ${each.join("; ")}${own}`;
};

const fewWords = ({ typed }: SettlingEvidence): string =>
  typed === undefined
    ? ""
    : `, from the change over ${typed} readings by hand (Student's, ${typed - 2} degrees of freedom)`;

/** What was still missing when the point was measured (rule C19). */
export const settlingLine = ({ settled, pairs, measured }: PointData): PointLine => {
  const common = { id: "settling.remainder", name: "What is left of settling", sensitivity: 1 };
  if (settled !== undefined) {
    const { remainder } = settled.evidence;
    return limitsLine(
      {
        ...common,
        source: `log: bound of ±${inWords(remainder)} K, held to about 95 %, when the point was ready${fewWords(settled.evidence)}${ruleWords(settled.evidence)}`,
        origin: [settled.n],
      },
      remainder,
    );
  }
  const drift = driftOverWindow(pairs.times, pairs.differences);
  return limitsLine(
    {
      ...common,
      source: `no evidence of settling in the log; drift of the difference over the window, at most ±${inWords(drift)} K`,
      origin: [measured.n, ...pairs.itemOrigin],
    },
    drift,
  );
};
