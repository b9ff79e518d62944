import { failure, success, type Outcome } from "#fault";
import type { SignalUnit } from "#quantity";
import type { Sensor } from "#thermometry";
import type { DecisionRule, Pass } from "../job/procedure.ts";
import type { RunEvent } from "../log/events.ts";
import { logView } from "../log/log-view.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { inWords } from "./budget-line.ts";
import { gatherPoint } from "./gather-point.ts";
import { measurePoint } from "./measure-point.ts";

/** One pair of readings and what became of it. */
export interface ExplainedReading {
  readonly time: number;
  readonly referenceSignal: number;
  readonly referenceTemperature: number;
  readonly itemSignal: number;
  readonly itemTemperature: number;
  readonly junction: number | null;
  readonly difference: number;
}

/** How the figures of one point came about, from raw readings to the decision; same numbers as in the result. */
export interface Explanation {
  readonly run: string;
  readonly item: string;
  readonly tag: string;
  readonly pass: Pass;
  readonly referenceUnit: SignalUnit;
  readonly itemUnit: SignalUnit;
  readonly referenceEquation: string;
  readonly itemEquation: string;
  readonly readings: readonly ExplainedReading[];
  readonly rule: DecisionRule;
  readonly result: MeasuredPoint;
}

const equationOf = (sensor: Sensor): string => {
  switch (sensor.kind) {
    case "thermocouple": {
      const deviation = sensor.deviation === undefined ? "" : ", deviation function added";
      return `type ${sensor.type}, E = V + E(t_cj), then the inverse of the reference function of IEC 60584-1${deviation}`;
    }
    case "platinum":
      return sensor.equation === "its-90"
        ? "ITS-90, W = R/R(TPW), its own deviation functions"
        : `Callendar-Van Dusen, R0 = ${sensor.r0} Ω, A = ${sensor.a}, B = ${sensor.b}, C = ${sensor.c}`;
    case "thermistor":
      return `Steinhart-Hart, A = ${sensor.a}, B = ${sensor.b}, C = ${sensor.c}${sensor.d === undefined ? "" : `, D = ${sensor.d}`}`;
    case "loop": {
      const [first, second] = sensor.current ?? [4, 20];
      return `straight line, ${first} mA at ${sensor.lower} °C, ${second} mA at ${sensor.upper} °C`;
    }
    case "indication":
      return "shows the temperature itself";
  }
};

export interface ExplainedPlace {
  /** The item's id or its tag. */
  readonly item: string;
  readonly pass: Pass;
  /** Index into the procedure's points. */
  readonly point: number;
}

/** The derivation of one point's figures. What is not there, or was not measured, is a failure that says so. */
export const explain = (
  log: readonly RunEvent[],
  { item: wanted, pass, point }: ExplainedPlace,
): Outcome<Explanation> => {
  const view = logView(log);
  const { job, run } = view.opened;
  const item = job.items.find(({ id, tag }) => id === wanted || tag === wanted);
  if (item === undefined)
    return failure(
      "input.invalid",
      `The run has no item "${wanted}"; it has ${job.items.map(({ id }) => id).join(", ")}.`,
    );
  if (job.procedure.points[point] === undefined)
    return failure(
      "input.invalid",
      `The procedure has the points 1 to ${job.procedure.points.length}, not ${point + 1}.`,
    );
  const place = { item, pass, point };
  const history = view.history(pass, point);
  const data = gatherPoint(view, place, history);
  if (!data.ok) return data;
  const result = measurePoint(view, place, history, { warn: () => undefined, outOfCalibration: () => undefined });
  if (result.status !== "measured")
    return failure("run.not-allowed", `This point is ${result.status}: ${result.reason}`, { point });
  const { pairs } = data.value;
  return success({
    run,
    item: item.id,
    tag: item.tag,
    pass,
    referenceUnit: job.kit.reference.unit,
    itemUnit: item.unit,
    referenceEquation: equationOf(job.kit.reference.sensor),
    itemEquation: equationOf(item.sensor),
    readings: Array.from(pairs.times, (time, index) => ({
      time,
      referenceSignal: pairs.referenceSignals[index]!,
      referenceTemperature: pairs.referenceTemperatures[index]!,
      itemSignal: pairs.itemSignals[index]!,
      itemTemperature: pairs.itemTemperatures[index]!,
      junction: pairs.junctions?.[index] ?? null,
      difference: pairs.differences[index]!,
    })),
    rule: job.procedure.decision,
    result,
  });
};

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

const meansText = ({ result }: Explanation): string[] => [
  "2. Means",
  `  reference   ${result.reference.value.toFixed(4)} °C   (log lines ${result.reference.origin.map((n) => n + 1).join(", ")})`,
  `  indication  ${result.indication.value.toFixed(4)} °C   (log lines ${result.indication.origin.map((n) => n + 1).join(", ")})`,
  `  error = indication − reference = ${result.indication.value.toFixed(4)} °C − ${result.reference.value.toFixed(4)} °C = ${result.error.value.toFixed(4)} K`,
  `  ${result.readings} pairs, worth ${inWords(result.effectiveReadings)} independent ones`,
];

const budgetText = ({ result }: Explanation): string[] => {
  const { lines, u, degreesOfFreedom, k, U, coverage } = result.budget;
  const rows = lines.map((line) => [
    line.id,
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
    "3. Budget",
    ...widest.map((text, index) => `${text}  ${index === 0 ? "source" : rows[index - 1]!.at(-1)!}`),
    `  u = √Σ(c·u)² = ${u.toFixed(5)} K, ν_eff = ${degreesOfFreedom === null ? "∞" : inWords(degreesOfFreedom)}, k = ${k.toFixed(3)} at ${(100 * coverage).toFixed(2)} %, U = k·u = ${U.toFixed(5)} K`,
    `  reported (ILAC-P14): error ${result.reported.error} K ± ${result.reported.U} K, reference ${result.reported.reference} °C, indication ${result.reported.indication} °C`,
  ];
};

/** Probabilities near their ends in words, because "100.00 %" is never meant. */
const inPercent = (probability: number): string => {
  if (probability > 0.9999) return "above 99.99 %";
  return probability < 0.0001 ? "below 0.01 %" : `${(100 * probability).toFixed(2)} %`;
};

const ruleWords = (rule: DecisionRule, U: number): string => {
  switch (rule.kind) {
    case "simple":
      return "simple acceptance, w = 0";
    case "guard-band":
      return `guard band w = ${rule.factor}·U = ${inWords(rule.factor * U)} K`;
    case "specific-risk":
      return `specific risk of a wrong pass at most ${inWords(100 * rule.limit)} %`;
    case "g8-non-binary":
      return `pass, conditional pass, conditional fail, fail with w = U = ${inWords(U)} K`;
  }
};

const decisionText = ({ result, rule }: Explanation): string[] => {
  const { conformity, conformityNote } = result;
  if (conformity === null) return ["4. Conformity", `  no statement: ${conformityNote ?? ""}`];
  const { tolerance, acceptance, decision, conformanceProbability, specificRisk } = conformity;
  const words = ruleWords(rule, result.budget.U);
  return [
    "4. Conformity",
    `  tolerance ${inWords(tolerance.lower)} K to ${inWords(tolerance.upper)} K at ${result.nominal} °C; rule: ${words}`,
    acceptance === null
      ? `  ${conformityNote ?? ""}`
      : `  accepted from ${inWords(acceptance.lower)} K to ${inWords(acceptance.upper)} K; the error is ${result.error.value.toFixed(4)} K`,
    `  ${decision.replace("-", " ")}; probability of conformance ${inPercent(conformanceProbability)}${specificRisk === null ? "" : `, risk that this decision is wrong ${inPercent(specificRisk)}`}`,
  ];
};

/** The derivation as text for a terminal or a file, log lines counted from 1. */
export const explanationText = (explanation: Explanation): string => {
  const { run, tag, item, pass, result } = explanation;
  const parts = [readingsText, meansText, budgetText, decisionText].map((part) => part(explanation).join("\n"));
  return [
    `${tag} (${item}), ${pass}, point ${result.point + 1} at ${result.nominal} °C, run ${run}`,
    ...parts,
    "",
  ].join("\n\n");
};
