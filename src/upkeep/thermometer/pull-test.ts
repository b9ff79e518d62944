import { failure, success, type Outcome } from "#fault";
import { coverageFactor, usualLevel } from "#uncertainty";
import type { PullTest } from "../document/pull-test.ts";
import type { Evaluated, FoundFigure, ProposedRevision } from "../found.ts";
import { roundedUp } from "../levels/expanded.ts";
import { fitLevels, type Levels } from "../levels/fit-levels.ts";
import { scatterOf } from "../levels/scatter.ts";
import type { Visit } from "../levels/visit.ts";
import { besideVisit } from "../source/beside.ts";
import { inWords, withU } from "../words.ts";
import { stemError, type StemError } from "./stem-error.ts";
import { stemFitter } from "./stem-model.ts";

export interface PullTestResult extends Evaluated {
  readonly kind: "pull-test";
  readonly outcome: StemError["kind"];
  /** Change of the reading at each withdrawal, the source's own profile and the drift taken out. */
  readonly withdrawals: readonly { readonly distance: number; readonly change: number; readonly U: number }[];
  /** Length over which the loss falls to 1/e, mm, where it was determined. */
  readonly length: { readonly value: number; readonly interval: readonly [number, number] } | null;
  /** Share of the difference to the surroundings that is lost at full depth. */
  readonly share: number | null;
}

/** The longest plausible length of a stem where nothing is seen, in diameters (common practice, no source). */
const longestInDiameters = 4;

/** Difference of the source's own temperature at a height above full depth, with its standard uncertainty, K. */
const profileAt = (
  profile: PullTest["profile"],
  height: number,
): { readonly difference: number; readonly u: number } => {
  const rows = [{ height: 0, difference: 0, U: 0 }, ...profile.toSorted((a, b) => a.height - b.height)];
  const above = rows.findIndex((row) => row.height >= height);
  if (above === -1) {
    const last = rows.at(-1)!;
    return { difference: last.difference, u: last.U / 2 };
  }
  if (above === 0) return { difference: rows[0]!.difference, u: rows[0]!.U / 2 };
  const [low, high] = [rows[above - 1]!, rows[above]!];
  const share = (height - low.height) / (high.height - low.height);
  return {
    difference: low.difference + share * (high.difference - low.difference),
    u: Math.max(low.U, high.U) / 2,
  };
};

interface Changes {
  readonly distances: readonly number[];
  readonly changes: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly dof: number;
}

const changesOf = (document: PullTest, levels: Levels, full: number): Changes => {
  const scatter = scatterOf([levels]);
  const order = levels.places
    .map((place, index) => ({ index, distance: full - Number(place) }))
    .toSorted((a, b) => a.distance - b.distance);
  const profile = order.map(({ distance }) => profileAt(document.profile, distance));
  return {
    distances: order.map(({ distance }) => distance),
    changes: order.map(({ index }, row) => levels.differences[index]! - profile[row]!.difference),
    covariance: order.map(({ index: a }, row) =>
      order.map(
        ({ index: b }, column) =>
          levels.covariance[a]![b]! * scatter.factor ** 2 + (row === column ? profile[row]!.u ** 2 : 0),
      ),
    ),
    dof: scatter.dof,
  };
};

const visitsOf = (document: PullTest): Outcome<Visit[]> => {
  const visits: Visit[] = [];
  for (const { depth, readings } of document.visits) {
    const visit = besideVisit(`Pull test at ${inWords(depth)} mm`, String(depth), readings, document);
    if (!visit.ok) return visit;
    visits.push(visit.value);
  }
  return success(visits);
};

/** The limit where nothing was seen: what noise may hide, carried down to full depth with the longest plausible length. */
const hiddenLimit = (
  { distances, changes }: Changes,
  standard: readonly number[],
  k: number,
  diameter: number,
): number => {
  const last = distances.length - 1;
  const hidden = Math.abs(changes[last]!) + k * standard[last]!;
  return hidden / Math.expm1(distances[last]! / (longestInDiameters * diameter));
};

const figureOf = (
  document: PullTest,
  found: StemError,
  { value, U, limit }: { readonly value: number; readonly U: number; readonly limit: number },
  dof: number,
): FoundFigure => ({
  figure: "conduction",
  temperature: document.temperature,
  value,
  u: U / 2,
  dof: Math.min(dof, 1e6),
  k: 2,
  U,
  limit,
  rationale:
    found.kind === "determined"
      ? `Conduction along the stem: what is left at full depth, ${withU(value, U)}, from an exponential through the changes at ${document.visits.length} stays, length ${inWords(found.length)} mm; limit |e| + U, growing with the difference to the surroundings`
      : `Conduction along the stem: no change was seen on withdrawing; the limit is what the noise may hide, carried to full depth with a length of ${longestInDiameters} diameters (common practice)`,
  visits: document.visits.map((_, index) => index),
});

/** Rows of a limit that is in proportion to the difference to the surroundings, over the range of the reference. */
const rowsOver = (document: PullTest, limit: number) => {
  const { minimum, maximum } = document.reference!.range;
  const span = Math.abs(document.temperature - document.ambient);
  const temperatures = [minimum, document.ambient, document.temperature, maximum]
    .filter((temperature) => temperature >= minimum && temperature <= maximum)
    .toSorted((a, b) => a - b);
  return [...new Set(temperatures)].map((temperature) => ({
    temperature,
    value: roundedUp((limit * Math.abs(temperature - document.ambient)) / span),
  }));
};

const revisionOf = (document: PullTest, figure: FoundFigure): ProposedRevision | null => {
  const { reference } = document;
  if (reference === undefined || figure.limit === null) return null;
  const rows = rowsOver(document, figure.limit);
  const made = `pull test of ${document.at.slice(0, 10)} at ${inWords(document.temperature)} °C`;
  const before = reference.conduction;
  return {
    kind: "reference",
    entry: {
      ...reference,
      revision: reference.revision + 1,
      conduction: rows,
      evidence: { ...reference.evidence, conduction: made },
    },
    changes: [
      {
        field: "conduction",
        before: before === undefined ? "not stated" : typeof before === "number" ? `±${inWords(before)} K` : "a table",
        after: rows.map(({ temperature, value }) => `±${inWords(value)} K at ${inWords(temperature)} °C`).join(", "),
        reason: made,
      },
    ],
  };
};

const statements: Readonly<Record<Exclude<StemError["kind"], "determined">, (found: StemError) => string>> = {
  "not-seen": () => "Withdrawing changed nothing that the test could see",
  drowned: (found) =>
    `The noise hides how the change bends: ${Math.round((found.kind === "drowned" ? found.share : 0) * 100)} % of what the readings allow are no exponential. Read longer at each depth, or withdraw further`,
  misfit: (found) =>
    `The changes at these depths are no exponential (χ² ${found.kind === "misfit" ? inWords(found.chiSquare) : ""}): the source's own profile, a probe that touches the wall, or a wait too short. Take the profile off, or use other depths`,
};

/**
 * Evaluates a pull test: what conduction along the stem still costs at full depth, from the exponential through three depths or
 * more (rules K10 to K13). What cannot be told is said as the outcome (`not-seen`, `drowned`, `misfit`), never as a number.
 */
export const evaluatePullTest = (document: PullTest): Outcome<PullTestResult> => {
  const depths = [...new Set(document.visits.map(({ depth }) => depth))];
  const full = Math.max(...depths);
  if (depths.length < 3)
    return failure(
      "upkeep.incomplete",
      `A pull test needs readings at three depths, full depth and two others; there are ${depths.length}. With two, the length of the stem cannot be told from the error.`,
    );
  if (Math.abs(document.temperature - document.ambient) < 20)
    return failure(
      "upkeep.incomplete",
      `The pull test was made ${inWords(Math.abs(document.temperature - document.ambient))} K from the surroundings: conduction hardly shows there. Make it at the end of the range that is furthest from them.`,
    );
  const visits = visitsOf(document);
  if (!visits.ok) return visits;
  const levels = fitLevels("Pull test", visits.value, String(full));
  if (!levels.ok) return levels;
  const changes = changesOf(document, levels.value, full);
  const k = coverageFactor(usualLevel, changes.dof);
  const fitter = stemFitter(changes.distances, changes.covariance);
  if (fitter === null)
    return failure("upkeep.incomplete", "The pull test's readings do not scatter at all; nothing can be weighed.");
  const standard = changes.covariance.map((row, index) => Math.sqrt(row[index]!));
  const found = stemError(fitter, changes.changes, k);
  return success(resultOf(document, changes, standard, k, found));
};

const limitFigure = (
  document: PullTest,
  changes: Changes,
  standard: readonly number[],
  k: number,
  found: StemError,
): FoundFigure | null => {
  if (found.kind === "determined")
    return figureOf(
      document,
      found,
      { value: found.error, U: found.U, limit: roundedUp(Math.abs(found.error) + found.U) },
      changes.dof,
    );
  if (found.kind !== "not-seen" || document.diameter === undefined) return null;
  const limit = roundedUp(hiddenLimit(changes, standard, k, document.diameter));
  return figureOf(document, found, { value: 0, U: limit, limit }, changes.dof);
};

const resultOf = (
  document: PullTest,
  changes: Changes,
  standard: readonly number[],
  k: number,
  found: StemError,
): PullTestResult => {
  const figure = limitFigure(document, changes, standard, k, found);
  const wrongWay =
    found.kind === "determined" && Math.sign(found.error) === Math.sign(document.temperature - document.ambient);
  const warnings = wrongWay
    ? ["The error goes the wrong way for conduction: a stem loses heat to colder surroundings. Look for another cause."]
    : [];
  if (document.profile.length === 0)
    warnings.push(
      "The source's own axial profile was not taken off; what it changes over these depths is in the result.",
    );
  if (document.rehearsal) warnings.push("Made on a simulated bench: no evidence about real equipment.");
  const name = document.reference?.id ?? document.moved.id;
  const statement =
    found.kind === "determined"
      ? `${name} reads ${withU(found.error, found.U)} off at full depth for conduction along its stem, at ${inWords(document.temperature)} °C.`
      : `${statements[found.kind](found)}${figure === null ? "." : `; the limit is ±${inWords(figure.limit!)} K.`}`;
  return {
    kind: "pull-test",
    entry: {
      kind: document.reference === undefined ? "thermometer" : "reference",
      id: name,
      serial: document.reference?.serial ?? "",
    },
    at: document.at,
    by: document.by,
    rehearsal: document.rehearsal,
    verdict: figure === null || wrongWay ? "inconclusive" : "conclusive",
    statement,
    figures: figure === null ? [] : [figure],
    warnings,
    revision: figure === null || wrongWay ? null : revisionOf(document, figure),
    outcome: found.kind,
    withdrawals: changes.distances.map((distance, index) => ({
      distance,
      change: changes.changes[index]!,
      U: k * standard[index]!,
    })),
    length: found.kind === "determined" ? { value: found.length, interval: found.lengthInterval } : null,
    share: found.kind === "determined" ? found.error / (document.ambient - document.temperature) : null,
  };
};
