import type { DecisionRule, Item, MeasuredPoint, PassResult, RunEvent, UnmeasuredPoint } from "#calibration";
import { decisionWords, joined, passExplanations, passNames, unmeasuredWords } from "./english.ts";
import type { Column, DecisionText, Evidence, PassSection, ResultRow } from "./model.ts";
import { wayRemarks } from "./on-site.ts";
import { eventsOf, settlingEvidence } from "./opened-run.ts";
import { cell, decimal, limitPlaces, limitsCell, limitText, percent, significant, withUnit } from "./typeset.ts";

export const decisionText = (kind: DecisionText["kind"]): DecisionText => ({ kind, word: decisionWords[kind] });

const allColumns: readonly Column[] = [
  { key: "nominal", heading: "Point", unit: "°C" },
  { key: "reference", heading: "Reference", unit: "°C" },
  { key: "indication", heading: "Indication", unit: "°C" },
  { key: "error", heading: "Error", unit: "K" },
  { key: "U", heading: "U", unit: "K" },
  { key: "k", heading: "k", unit: "" },
  { key: "tolerance", heading: "Tolerance", unit: "K" },
  { key: "acceptance", heading: "Acceptance", unit: "K" },
  { key: "risk", heading: "Risk", unit: "" },
  { key: "decision", heading: "Decision", unit: "" },
];

const columnsFor = (rule: DecisionRule, stated: boolean): readonly Column[] =>
  allColumns.filter(({ key }) => {
    if (key === "acceptance") return stated && rule.kind !== "simple";
    if (key === "tolerance" || key === "risk" || key === "decision") return stated;
    return true;
  });

interface Places {
  readonly tolerance: number;
  readonly acceptance: number;
}

const limitsText = (limits: { lower: number; upper: number }, places: number): { lower: string; upper: string } => ({
  lower: limitText(limits.lower, places, "lower"),
  upper: limitText(limits.upper, places, "upper"),
});

const resultRow = (
  point: MeasuredPoint,
  { log, pass, item, places }: { log: readonly RunEvent[]; pass: PassResult; item: Item; places: Places },
): ResultRow => {
  const { conformity, reported } = point;
  const tolerance = conformity === null ? null : limitsText(conformity.tolerance, places.tolerance);
  const acceptance =
    conformity === null || conformity.acceptance === null ? null : limitsText(conformity.acceptance, places.acceptance);
  const evidence = settlingEvidence(log, pass.pass, point.point, item.id);
  return {
    point: point.point,
    nominal: cell(decimal(point.nominal)),
    reference: cell(reported.reference),
    indication: cell(reported.indication),
    error: cell(reported.error),
    U: cell(reported.U),
    k: cell(reported.k),
    tolerance: tolerance === null ? null : limitsCell(tolerance.lower, tolerance.upper),
    acceptance: acceptance === null ? null : limitsCell(acceptance.lower, acceptance.upper),
    limits: tolerance,
    acceptanceLimits: acceptance,
    decision: decisionText(conformity?.decision ?? "none"),
    risk: conformity === null || conformity.specificRisk === null ? "–" : percent(conformity.specificRisk),
    readings: String(point.readings),
    settled:
      evidence === null
        ? null
        : { remainder: significant(evidence.remainder, 2), target: significant(evidence.target, 2) },
    signal: withUnit(point.signal.value.toFixed(point.signal.unit === "°C" ? 3 : 4), point.signal.unit),
  };
};

const isMeasured = (point: PassResult["points"][number]): point is MeasuredPoint => point.status === "measured";

const lastSentence = (text: string): string => (/[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`);

/** Points without result, those of the same kind and reason in one sentence. */
const unmeasuredRemarks = (points: readonly UnmeasuredPoint[]): readonly string[] => {
  const groups = new Map<string, UnmeasuredPoint[]>();
  for (const point of points) {
    const key = JSON.stringify([point.status, point.reason]);
    groups.set(key, [...(groups.get(key) ?? []), point]);
  }
  return [...groups.values()].map((group) => {
    const [first] = group;
    const places = joined(group.map((point) => withUnit(decimal(point.nominal), "°C")));
    const words = unmeasuredWords[first!.status];
    return group.length === 1
      ? `The point at ${places} ${words.one}: ${lastSentence(first!.reason)}`
      : `The points at ${places} ${words.many}: ${lastSentence(first!.reason)}`;
  });
};

const remarksOf = (log: readonly RunEvent[], pass: PassResult): readonly string[] => {
  const unmeasured = unmeasuredRemarks(pass.points.filter((point) => point.status !== "measured"));
  const unstated = pass.points
    .filter(isMeasured)
    .filter((point) => point.conformity === null)
    .map(
      (point) =>
        `No conformity is stated at ${withUnit(decimal(point.nominal), "°C")}: ${lastSentence(point.conformityNote ?? "no tolerance applies")}`,
    );
  const repeated = eventsOf(log, "point-repeated")
    .filter((event) => event.pass === pass.pass)
    .flatMap((event) => {
      const point = pass.points.find((candidate) => candidate.point === event.point);
      return point === undefined
        ? []
        : [`The point at ${withUnit(decimal(point.nominal), "°C")} was measured again: ${lastSentence(event.reason)}`];
    });
  const unfitted =
    pass.fit?.status === "not-fitted" ? [`No equation was fitted: ${lastSentence(pass.fit.reason)}`] : [];
  return [...wayRemarks(pass), ...unmeasured, ...unstated, ...repeated, ...unfitted];
};

/** How the points of all passes were held (ISO/IEC 17025:2017, 7.5.1): enough to see that nobody read too early. */
export const evidenceOf = (passes: readonly PassSection[]): Evidence => {
  const several = passes.length > 1;
  return {
    heading: "How each point was held",
    columns: [
      ...(several ? ["Pass"] : []),
      "Point / °C",
      "Readings",
      "Mean signal of the item",
      "Still to settle, at most / K",
      "Target / K",
    ],
    rows: passes.flatMap((pass) =>
      pass.rows.map((row) => [
        ...(several ? [pass.short] : []),
        row.nominal.text,
        row.readings,
        row.signal,
        row.settled?.remainder ?? "not recorded",
        row.settled?.target ?? "not recorded",
      ]),
    ),
  };
};

/** One pass of one item: its table, the points without result, and the evidence of settling. */
export const passSection = (
  log: readonly RunEvent[],
  item: Item,
  pass: PassResult,
  rule: DecisionRule,
): PassSection => {
  const measured = pass.points.filter(isMeasured);
  const stated = measured.flatMap((point) => (point.conformity === null ? [] : [point.conformity]));
  const errors = measured.map((point) => point.reported.error);
  const places = {
    tolerance: limitPlaces(
      stated.flatMap(({ tolerance }) => [tolerance.lower, tolerance.upper]),
      errors,
    ),
    acceptance: limitPlaces(
      stated.flatMap(({ acceptance }) => (acceptance === null ? [] : [acceptance.lower, acceptance.upper])),
      errors,
    ),
  };
  const rows = measured.map((point) => resultRow(point, { log, pass, item, places }));
  return {
    pass: pass.pass,
    short: passNames[pass.pass],
    heading: `Results ${passExplanations[pass.pass]}`,
    columns: columnsFor(rule, stated.length > 0),
    rows,
    remarks: remarksOf(log, pass),
    decision: decisionText(pass.decision ?? "none"),
  };
};
