import type { MeasuredChange, PassResult, SwitchResult, UnmeasuredChange } from "#calibration";
import type { Cell, Column, Evidence, PassSection, ResultRow, SwitchRow } from "./model.ts";
import { decisionText, lastSentence, type PassContext } from "./pass-section.ts";
import { decimal, limitPlaces, limitText } from "./typeset.ts";
import type { Writing } from "./writing.ts";

type Change = MeasuredChange | UnmeasuredChange;

const none: Cell = { text: "–", plain: "" };

const columnsFor = ({ job, writing }: PassContext, stated: boolean): readonly Column[] => {
  const { switch: said, results } = writing.words;
  const all: readonly Column[] = [
    { key: "name", heading: said.action, unit: "" },
    { key: "nominal", heading: said.agreed, unit: "°C" },
    { key: "measured", heading: said.measured, unit: "" },
    { key: "error", heading: said.deviation, unit: "K" },
    { key: "U", heading: "U", unit: "K" },
    { key: "k", heading: "k", unit: "" },
    { key: "tolerance", heading: said.limits, unit: "K" },
    { key: "acceptance", heading: results.columns.acceptance, unit: "K" },
    { key: "risk", heading: results.columns.risk, unit: "" },
    { key: "decision", heading: results.columns.decision, unit: "" },
  ];
  return all.filter(({ key }) => {
    if (key === "acceptance") return stated && job.procedure.decision.kind !== "simple";
    if (key === "tolerance" || key === "risk" || key === "decision") return stated;
    return true;
  });
};

/** What the contact does and when: "Trip: opens, rising". */
const changeName = ({ role, contact, direction }: Change, { words }: Writing): string =>
  words.switch.change(role, contact, direction);

const placesOf = (plain: string): number => plain.split(".")[1]?.length ?? 0;

/** The parts of a row that come from a statement of conformity. */
const statedCells = (
  conformity: MeasuredChange["conformity"],
  reported: readonly string[],
  writing: Writing,
): Pick<ResultRow, "tolerance" | "acceptance" | "limits" | "acceptanceLimits" | "decision" | "risk"> => {
  if (conformity === null) {
    return {
      tolerance: null,
      acceptance: null,
      limits: null,
      acceptanceLimits: null,
      decision: decisionText("none", writing),
      risk: "–",
    };
  }
  const texts = (limits: { readonly lower: number; readonly upper: number }) => {
    const places = Math.min(limitPlaces([limits.lower, limits.upper], reported), placesOf(reported[0]!));
    return { lower: limitText(limits.lower, places, "lower"), upper: limitText(limits.upper, places, "upper") };
  };
  const asCell = ({ lower, upper }: { readonly lower: string; readonly upper: string }): Cell =>
    lower.startsWith("-")
      ? writing.set.limits(lower, upper)
      : { text: writing.set.number(writing.words.switch.between(lower, upper)), plain: `${lower} ${upper}` };
  const limits = texts(conformity.tolerance);
  const acceptanceLimits = conformity.acceptance === null ? null : texts(conformity.acceptance);
  return {
    tolerance: asCell(limits),
    acceptance: acceptanceLimits === null ? null : asCell(acceptanceLimits),
    limits,
    acceptanceLimits,
    decision: decisionText(conformity.decision, writing),
    risk: conformity.specificRisk === null ? "–" : writing.set.percent(conformity.specificRisk),
  };
};

/** What a row of a switch has no use for: it was not read at rest. */
const noReadings = { indication: none, readings: "–", settled: null, signal: "–" } as const;

const withUnitCell = (reported: string, unit: string, { set }: Writing): Cell => {
  const { plain } = set.cell(reported);
  return { text: set.unit(plain, unit), plain };
};

const changeRow = (change: MeasuredChange, point: number, writing: Writing): ResultRow => {
  const { reported } = change;
  const { set } = writing;
  const name = changeName(change, writing);
  return {
    ...noReadings,
    point,
    name: { text: name, plain: name },
    nominal: change.nominal === null ? none : set.cell(decimal(change.nominal)),
    reference: set.cell(reported.temperature),
    measured: withUnitCell(reported.temperature, "°C", writing),
    error: reported.deviation === null ? none : set.cell(reported.deviation),
    U: set.cell(reported.U),
    k: set.cell(reported.k),
    ...statedCells(change.conformity, [reported.temperature], writing),
  };
};

const deadBandRow = ({ deadBand }: SwitchResult, writing: Writing): ResultRow[] => {
  if (deadBand.status !== "measured") return [];
  const { reported } = deadBand;
  const name = writing.words.switch.deadBand;
  return [
    {
      ...noReadings,
      point: 2,
      name: { text: name, plain: name },
      nominal: none,
      reference: none,
      measured: withUnitCell(reported.value, "K", writing),
      error: none,
      U: writing.set.cell(reported.U),
      k: writing.set.cell(reported.k),
      ...statedCells(deadBand.conformity, [reported.value], writing),
    },
  ];
};

/** How the effect of the ramp was dealt with (ISO/IEC 17025:2017, 7.8.4.1 b). */
const lagRemark = ({ lag }: SwitchResult, { words, set }: Writing): string => {
  const seconds = set.unit(lag.seconds.toFixed(0), "s");
  switch (lag.known) {
    case "declared":
      return words.switch.lagDeclared(seconds);
    case "two-rates":
      return words.switch.lagTwoRates(seconds, set.unit(lag.u.toFixed(0), "s"));
    case "bounded":
      return words.switch.lagBounded(set.unit((lag.u * Math.sqrt(3)).toFixed(0), "s"));
  }
};

/** Why a direction has no temperature; what the evaluation says in English is said anew where its cause is plain. */
const reasonText = (side: UnmeasuredChange, { writing }: PassContext): string => {
  if (writing.language === "en") return side.reason;
  return side.status === "no-change" ? writing.words.switch.unchanged : writing.words.results.inEnglish(side.reason);
};

type Unjudged = Extract<Change | SwitchResult["deadBand"], { status: "measured" }>;

/** Why a change or the dead band has no statement: mostly that nothing is agreed for it. */
const noteText = (each: Unjudged, { item: { sensor }, writing }: PassContext): string => {
  const note = each.conformityNote;
  const said = writing.words.switch;
  if (writing.language === "en") return note ?? said.noLimits;
  const agreed = sensor.kind === "switch" && ("role" in each ? each.role === "trip" || sensor.reset : sensor.deadBand);
  return note === null || agreed === undefined || agreed === false
    ? said.noLimits
    : writing.words.results.inEnglish(note);
};

const sweepReason = (status: string, reason: string | null, { writing }: PassContext): string => {
  if (reason === null) return writing.words.switch.leftOut;
  return writing.language === "en" || status === "skipped" ? reason : writing.words.results.inEnglish(reason);
};

const remarksOf = (result: SwitchResult, context: PassContext): string[] => {
  const { writing } = context;
  const { switch: said } = writing.words;
  const { rising, falling, deadBand, sweeps } = result;
  const sides = [rising, falling];
  const unmeasured = sides.flatMap((side) =>
    side.status === "measured"
      ? []
      : [said.noResult(changeName(side, writing), lastSentence(reasonText(side, context)))],
  );
  const band =
    deadBand.status === "measured"
      ? []
      : [said.noDeadBand(lastSentence(writing.language === "en" ? deadBand.reason : said.needsBoth))];
  const statements = [...sides, deadBand].flatMap((each) => {
    if (each.status !== "measured" || each.conformity !== null) return [];
    const name = "role" in each ? changeName(each, writing) : said.deadBand;
    return [said.unstated(name, lastSentence(noteText(each, context)))];
  });
  const skipped = sweeps
    .filter(({ status }) => status === "skipped" || status === "flagged")
    .map(({ cycle, direction, reason, status }) =>
      said.rampNote(said.ramp(String(cycle), direction), lastSentence(sweepReason(status, reason, context))),
    );
  const measured = sides.some(({ status }) => status === "measured");
  return [...(measured ? [lagRemark(result, writing)] : []), ...unmeasured, ...band, ...statements, ...skipped];
};

const switchRow = (id: SwitchRow["id"], row: ResultRow, unit: SwitchRow["unit"]): SwitchRow => ({
  id,
  heading: row.name!.text,
  unit,
  row,
});

/** One pass of a switch: trip, reset and dead band, each with its own statement. */
export const switchPassSection = (pass: PassResult, result: SwitchResult, context: PassContext): PassSection => {
  const { writing } = context;
  const { paper } = writing.words;
  const order = result.rising.role === "trip" ? [result.rising, result.falling] : [result.falling, result.rising];
  const changes = order.filter((side) => side.status === "measured");
  const rows = changes.map((side, index) => changeRow(side, index, writing));
  const band = deadBandRow(result, writing);
  const all = [...rows, ...band];
  return {
    pass: pass.pass,
    short: paper.passNames[pass.pass],
    heading: paper.resultsOf[pass.pass],
    columns: columnsFor(
      context,
      all.some(({ decision }) => decision.kind !== "none"),
    ),
    rows: all,
    switch: [
      ...rows.map((row, index) => switchRow(changes[index]!.role, row, "°C")),
      ...band.map((row) => switchRow("dead-band", row, "K")),
    ],
    remarks: remarksOf(result, context),
    decision: decisionText(pass.decision ?? "none", writing),
  };
};

/** Every ramp with what the contact did on it (ISO/IEC 17025:2017, 7.5.1). */
export const switchEvidence = (passes: readonly PassResult[], { words, set }: Writing): Evidence => {
  const several = passes.length > 1;
  const { switch: said, results, paper } = words;
  const { evidence } = said;
  return {
    heading: evidence.heading,
    columns: [
      ...(several ? [results.evidence.pass] : []),
      evidence.ramp,
      evidence.rate,
      evidence.contact,
      evidence.reference,
      evidence.between,
    ],
    rows: passes.flatMap((pass) =>
      (pass.switch?.sweeps ?? []).map(({ cycle, direction, rate, status, temperature, bracket, bounces }) => [
        ...(several ? [paper.passNames[pass.pass]] : []),
        said.ramp(String(cycle), direction),
        rate === null ? "–" : set.number(Math.abs(rate).toFixed(2)),
        status === "changed" ? said.changed(bounces) : said.states[status],
        temperature === null ? "–" : set.number(temperature.value.toFixed(3)),
        bracket === null ? "–" : (bracket.to - bracket.from).toFixed(0),
      ]),
    ),
  };
};
