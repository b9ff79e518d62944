import type { Item, Job, MeasuredPoint, PassResult, Result, RunEvent, UnmeasuredPoint } from "#calibration";
import type { Column, DecisionText, Evidence, PassSection, ResultRow } from "./model.ts";
import { wayRemarks } from "./on-site.ts";
import { eventsOf, settlingEvidence } from "./opened-run.ts";
import { outsideScope } from "./scope.ts";
import { decimal, limitPlaces, limitText } from "./typeset.ts";
import type { Writing } from "./writing.ts";

/** What a pass of an item is written from. */
export interface PassContext {
  readonly log: readonly RunEvent[];
  readonly job: Job;
  readonly result: Result;
  readonly item: Item;
  readonly writing: Writing;
}

export const decisionText = (kind: DecisionText["kind"], { words }: Writing): DecisionText => ({
  kind,
  word: words.paper.decisions[kind],
});

const columnsFor = ({ job, writing }: PassContext, stated: boolean): readonly Column[] => {
  const { columns: said } = writing.words.results;
  const all: readonly Column[] = [
    { key: "nominal", heading: said.nominal, unit: "°C" },
    { key: "reference", heading: said.reference, unit: "°C" },
    { key: "indication", heading: said.indication, unit: "°C" },
    { key: "error", heading: said.error, unit: "K" },
    { key: "U", heading: "U", unit: "K" },
    { key: "k", heading: "k", unit: "" },
    { key: "tolerance", heading: said.tolerance, unit: "K" },
    { key: "acceptance", heading: said.acceptance, unit: "K" },
    { key: "risk", heading: said.risk, unit: "" },
    { key: "decision", heading: said.decision, unit: "" },
  ];
  return all.filter(({ key }) => {
    if (key === "acceptance") return stated && job.procedure.decision.kind !== "simple";
    if (key === "tolerance" || key === "risk" || key === "decision") return stated;
    return true;
  });
};

interface Places {
  readonly tolerance: number;
  readonly acceptance: number;
}

const limitsText = (limits: { lower: number; upper: number }, places: number): { lower: string; upper: string } => ({
  lower: limitText(limits.lower, places, "lower"),
  upper: limitText(limits.upper, places, "upper"),
});

const resultRow = (point: MeasuredPoint, pass: PassResult, places: Places, context: PassContext): ResultRow => {
  const { log, item, writing } = context;
  const { set } = writing;
  const { conformity, reported } = point;
  const tolerance = conformity === null ? null : limitsText(conformity.tolerance, places.tolerance);
  const acceptance =
    conformity === null || conformity.acceptance === null ? null : limitsText(conformity.acceptance, places.acceptance);
  const evidence = settlingEvidence(log, pass.pass, point.point, item.id);
  return {
    point: point.point,
    nominal: set.cell(decimal(point.nominal)),
    reference: set.cell(reported.reference),
    indication: set.cell(reported.indication),
    error: set.cell(reported.error),
    U: set.cell(reported.U),
    k: set.cell(reported.k),
    tolerance: tolerance === null ? null : set.limits(tolerance.lower, tolerance.upper),
    acceptance: acceptance === null ? null : set.limits(acceptance.lower, acceptance.upper),
    limits: tolerance,
    acceptanceLimits: acceptance,
    decision: decisionText(conformity?.decision ?? "none", writing),
    risk: conformity === null || conformity.specificRisk === null ? "–" : set.percent(conformity.specificRisk),
    readings: String(point.readings),
    settled:
      evidence === null
        ? null
        : { remainder: set.significant(evidence.remainder, 2), target: set.significant(evidence.target, 2) },
    signal: set.unit(point.signal.value.toFixed(point.signal.unit === "°C" ? 3 : 4), point.signal.unit),
  };
};

const isMeasured = (point: PassResult["points"][number]): point is MeasuredPoint => point.status === "measured";

export const lastSentence = (text: string): string => (/[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`);

/**
 * Why a point has no result. What a person typed stands as it was typed; what the evaluation says in English is said anew in
 * the other languages where its cause can be read from the log, and quoted as English otherwise.
 */
const reasonText = (point: UnmeasuredPoint, pass: PassResult, { log, result, writing }: PassContext): string => {
  if (writing.language === "en" || point.status === "skipped") return point.reason;
  const { results: said } = writing.words;
  if (point.status === "flagged") return said.inEnglish(point.reason);
  const again = eventsOf(log, "point-repeated").findLast(
    (event) => event.pass === pass.pass && event.point === point.point,
  );
  if (again !== undefined) return said.notRepeated(again.reason);
  return said.notReached(result.outcome, eventsOf(log, "run-ended").at(-1)?.reason ?? null);
};

/** Points without result, those of the same kind and reason in one sentence. */
const unmeasuredRemarks = (pass: PassResult, context: PassContext): readonly string[] => {
  const { words, set } = context.writing;
  const groups = new Map<string, { readonly reason: string; readonly points: UnmeasuredPoint[] }>();
  for (const point of pass.points) {
    if (point.status === "measured") continue;
    const reason = lastSentence(reasonText(point, pass, context));
    const key = JSON.stringify([point.status, reason]);
    groups.set(key, { reason, points: [...(groups.get(key)?.points ?? []), point] });
  }
  return [...groups.values()].map(({ reason, points }) => {
    const places = words.paper.and(points.map((point) => set.unit(decimal(point.nominal), "°C")));
    const verbs = words.results.unmeasured[points[0]!.status];
    return points.length === 1
      ? words.results.point(places, verbs.one, reason)
      : words.results.points(places, verbs.many, reason);
  });
};

/** Why no conformity is stated at a point. */
const unstatedReason = (note: string | null, { writing }: PassContext): string => {
  if (note === null) return writing.words.results.noTolerance;
  return writing.language === "en" ? note : writing.words.results.inEnglish(note);
};

const remarksOf = (pass: PassResult, context: PassContext): readonly string[] => {
  const { log, job, item, writing } = context;
  const { words, set } = writing;
  const at = (nominal: number): string => set.unit(decimal(nominal), "°C");
  const unstated = pass.points
    .filter(isMeasured)
    .filter((point) => point.conformity === null)
    .map((point) =>
      words.results.unstated(at(point.nominal), lastSentence(unstatedReason(point.conformityNote, context))),
    );
  const repeated = eventsOf(log, "point-repeated")
    .filter((event) => event.pass === pass.pass)
    .flatMap((event) => {
      const point = pass.points.find((candidate) => candidate.point === event.point);
      return point === undefined ? [] : [words.results.repeated(at(point.nominal), lastSentence(event.reason))];
    });
  const unfitted =
    pass.fit?.status === "not-fitted"
      ? [
          words.results.unfitted(
            lastSentence(writing.language === "en" ? pass.fit.reason : words.results.inEnglish(pass.fit.reason)),
          ),
        ]
      : [];
  const outside = outsideScope(job, item, pass);
  return [
    ...wayRemarks(pass, job, writing),
    ...unmeasuredRemarks(pass, context),
    ...unstated,
    ...repeated,
    ...unfitted,
    ...(outside.length === 0 ? [] : [words.results.outside(words.paper.and(outside.map(at)))]),
  ];
};

/** How the points of all passes were held (ISO/IEC 17025:2017, 7.5.1): enough to see that nobody read too early. */
export const evidenceOf = (passes: readonly PassSection[], { words }: Writing): Evidence => {
  const { evidence: said } = words.results;
  const several = passes.length > 1;
  return {
    heading: said.heading,
    columns: [...(several ? [said.pass] : []), said.point, said.readings, said.signal, said.remainder, said.target],
    rows: passes.flatMap((pass) =>
      pass.rows.map((row) => [
        ...(several ? [pass.short] : []),
        row.nominal.text,
        row.readings,
        row.signal,
        row.settled?.remainder ?? said.notRecorded,
        row.settled?.target ?? said.notRecorded,
      ]),
    ),
  };
};

/** One pass of one item: its table, the points without result, and the evidence of settling. */
export const passSection = (pass: PassResult, context: PassContext): PassSection => {
  const { words } = context.writing;
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
  return {
    pass: pass.pass,
    short: words.paper.passNames[pass.pass],
    heading: words.paper.resultsOf[pass.pass],
    columns: columnsFor(context, stated.length > 0),
    rows: measured.map((point) => resultRow(point, pass, places, context)),
    remarks: remarksOf(pass, context),
    decision: decisionText(pass.decision ?? "none", context.writing),
  };
};
