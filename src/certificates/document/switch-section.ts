import type { DecisionRule, MeasuredChange, PassResult, SwitchResult, UnmeasuredChange } from "#calibration";
import { passExplanations, passNames } from "./english.ts";
import type { Cell, Column, Evidence, PassSection, ResultRow, SwitchRow } from "./model.ts";
import { decisionText } from "./pass-section.ts";
import { cell, decimal, limitPlaces, limitsCell, limitText, percent, withUnit } from "./typeset.ts";

type Change = MeasuredChange | UnmeasuredChange;

const none: Cell = { text: "–", plain: "" };

const columnsFor = (rule: DecisionRule, stated: boolean): readonly Column[] =>
  (
    [
      { key: "name", heading: "Action", unit: "" },
      { key: "nominal", heading: "Agreed", unit: "°C" },
      { key: "measured", heading: "Measured", unit: "" },
      { key: "error", heading: "Deviation", unit: "K" },
      { key: "U", heading: "U", unit: "K" },
      { key: "k", heading: "k", unit: "" },
      { key: "tolerance", heading: "Limits", unit: "K" },
      { key: "acceptance", heading: "Acceptance", unit: "K" },
      { key: "risk", heading: "Risk", unit: "" },
      { key: "decision", heading: "Decision", unit: "" },
    ] as const
  ).filter(({ key }) => {
    if (key === "acceptance") return stated && rule.kind !== "simple";
    if (key === "tolerance" || key === "risk" || key === "decision") return stated;
    return true;
  });

/** What the contact does and when: "Trip: opens, rising". */
const changeName = ({ role, contact, direction }: Change): string =>
  `${role === "trip" ? "Trip" : "Reset"}: ${contact}, ${direction}`;

const placesOf = (plain: string): number => plain.split(".")[1]?.length ?? 0;

/** The parts of a row that come from a statement of conformity. */
const statedCells = (
  conformity: MeasuredChange["conformity"],
  reported: readonly string[],
): Pick<ResultRow, "tolerance" | "acceptance" | "limits" | "acceptanceLimits" | "decision" | "risk"> => {
  if (conformity === null) {
    return {
      tolerance: null,
      acceptance: null,
      limits: null,
      acceptanceLimits: null,
      decision: decisionText("none"),
      risk: "–",
    };
  }
  const texts = (limits: { readonly lower: number; readonly upper: number }) => {
    const places = Math.min(limitPlaces([limits.lower, limits.upper], reported), placesOf(reported[0]!));
    return { lower: limitText(limits.lower, places, "lower"), upper: limitText(limits.upper, places, "upper") };
  };
  const asCell = ({ lower, upper }: { readonly lower: string; readonly upper: string }): Cell =>
    lower.startsWith("-") ? limitsCell(lower, upper) : { text: `${lower} to ${upper}`, plain: `${lower} ${upper}` };
  const limits = texts(conformity.tolerance);
  const acceptanceLimits = conformity.acceptance === null ? null : texts(conformity.acceptance);
  return {
    tolerance: asCell(limits),
    acceptance: acceptanceLimits === null ? null : asCell(acceptanceLimits),
    limits,
    acceptanceLimits,
    decision: decisionText(conformity.decision),
    risk: conformity.specificRisk === null ? "–" : percent(conformity.specificRisk),
  };
};

/** What a row of a switch has no use for: it was not read at rest. */
const noReadings = { indication: none, readings: "–", settled: null, signal: "–" } as const;

const withUnitCell = (reported: string, unit: string): Cell => {
  const plain = cell(reported);
  return { text: withUnit(plain.plain, unit), plain: plain.plain };
};

const changeRow = (change: MeasuredChange, point: number): ResultRow => {
  const { reported } = change;
  const measured = withUnitCell(reported.temperature, "°C");
  return {
    ...noReadings,
    point,
    name: { text: changeName(change), plain: changeName(change) },
    nominal: change.nominal === null ? none : cell(decimal(change.nominal)),
    reference: cell(reported.temperature),
    measured,
    error: reported.deviation === null ? none : cell(reported.deviation),
    U: cell(reported.U),
    k: cell(reported.k),
    ...statedCells(change.conformity, [reported.temperature]),
  };
};

const deadBandRow = ({ deadBand }: SwitchResult): ResultRow[] => {
  if (deadBand.status !== "measured") return [];
  const { reported } = deadBand;
  return [
    {
      ...noReadings,
      point: 2,
      name: { text: "Dead band", plain: "Dead band" },
      nominal: none,
      reference: none,
      measured: withUnitCell(reported.value, "K"),
      error: none,
      U: cell(reported.U),
      k: cell(reported.k),
      ...statedCells(deadBand.conformity, [reported.value]),
    },
  ];
};

const sentence = (text: string): string => (/[.!?]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`);

/** How the effect of the ramp was dealt with (ISO/IEC 17025:2017, 7.8.4.1 b). */
const lagRemark = ({ lag }: SwitchResult): string => {
  const seconds = withUnit(lag.seconds.toFixed(0), "s");
  switch (lag.known) {
    case "declared":
      return `The temperatures are corrected for the ramp: the switch trails the reference by ${seconds}, as declared.`;
    case "two-rates":
      return `The temperatures hold at rest: from ramps at two rates the switch trails the reference by ${seconds} (standard uncertainty ${withUnit(lag.u.toFixed(0), "s")}), and its effect is taken off.`;
    case "bounded":
      return `The effect of the ramp is not corrected; up to ${withUnit((lag.u * Math.sqrt(3)).toFixed(0), "s")} by which the switch may trail the reference stand in the uncertainty.`;
  }
};

const remarksOf = (result: SwitchResult): string[] => {
  const { rising, falling, deadBand, sweeps } = result;
  const sides = [rising, falling];
  const unmeasured = sides.flatMap((side) =>
    side.status === "measured" ? [] : [`${changeName(side)} has no result: ${sentence(side.reason)}`],
  );
  const band = deadBand.status === "measured" ? [] : [`The dead band has no result: ${sentence(deadBand.reason)}`];
  const statements = [...sides, deadBand].flatMap((each) => {
    if (each.status !== "measured" || each.conformity !== null) return [];
    const name = "role" in each ? changeName(each) : "Dead band";
    return [`${name}: no conformity is stated. ${sentence(each.conformityNote ?? "No limits are agreed")}`];
  });
  const skipped = sweeps
    .filter(({ status }) => status === "skipped" || status === "flagged")
    .map(({ cycle, direction, reason }) => `Ramp ${cycle}, ${direction}: ${sentence(reason ?? "left out")}`);
  const measured = sides.some(({ status }) => status === "measured");
  return [...(measured ? [lagRemark(result)] : []), ...unmeasured, ...band, ...statements, ...skipped];
};

const switchRow = (id: SwitchRow["id"], row: ResultRow, unit: SwitchRow["unit"]): SwitchRow => ({
  id,
  heading: row.name!.text,
  unit,
  row,
});

/** One pass of a switch: trip, reset and dead band, each with its own statement. */
export const switchPassSection = (pass: PassResult, result: SwitchResult, rule: DecisionRule): PassSection => {
  const order = result.rising.role === "trip" ? [result.rising, result.falling] : [result.falling, result.rising];
  const changes = order.filter((side) => side.status === "measured");
  const rows = changes.map((side, index) => changeRow(side, index));
  const band = deadBandRow(result);
  const all = [...rows, ...band];
  return {
    pass: pass.pass,
    short: passNames[pass.pass],
    heading: `Results ${passExplanations[pass.pass]}`,
    columns: columnsFor(
      rule,
      all.some(({ decision }) => decision.kind !== "none"),
    ),
    rows: all,
    switch: [
      ...rows.map((row, index) => switchRow(changes[index]!.role, row, "°C")),
      ...band.map((row) => switchRow("dead-band", row, "K")),
    ],
    remarks: remarksOf(result),
    decision: decisionText(pass.decision ?? "none"),
  };
};

/** Every ramp with what the contact did on it (ISO/IEC 17025:2017, 7.5.1). */
export const switchEvidence = (passes: readonly PassResult[]): Evidence => {
  const several = passes.length > 1;
  return {
    heading: "What the contact did on each ramp",
    columns: [
      ...(several ? ["Pass"] : []),
      "Ramp",
      "Rate / (K/min)",
      "Contact",
      "Reference, as read / °C",
      "Between / s",
    ],
    rows: passes.flatMap((pass) =>
      (pass.switch?.sweeps ?? []).map(({ cycle, direction, rate, status, temperature, bracket, bounces }) => [
        ...(several ? [passNames[pass.pass]] : []),
        `${cycle}, ${direction}`,
        rate === null ? "–" : Math.abs(rate).toFixed(2),
        status === "changed"
          ? `changed${bounces === 0 ? "" : `, ${bounces} ${bounces === 1 ? "bounce" : "bounces"}`}`
          : { "no-change": "did not change", flagged: "faulty", skipped: "left out", "not-measured": "not read" }[
              status
            ],
        temperature === null ? "–" : temperature.value.toFixed(3),
        bracket === null ? "–" : (bracket.to - bracket.from).toFixed(0),
      ]),
    ),
  };
};
