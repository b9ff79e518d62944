import { failure, success, type Outcome } from "#fault";
import { signalOf, temperatureOf } from "#thermometry";
import type { SelfHeatingTest } from "../document/self-heating.ts";
import { temperatures } from "../document/temperatures.ts";
import type { Evaluated, FoundFigure, ProposedRevision } from "../found.ts";
import { expanded, limitOf, roundedUp, type Expanded } from "../levels/expanded.ts";
import { fitLevels, type Levels } from "../levels/fit-levels.ts";
import { scatterOf } from "../levels/scatter.ts";
import { visitOf, type Visit } from "../levels/visit.ts";
import { inWords, withU } from "../words.ts";

export interface SelfHeatingResult extends Evaluated {
  readonly kind: "self-heating";
  /** Resistance at no current, Ω. */
  readonly zeroPower: Expanded;
  /** Resistance at the measuring current, Ω. */
  readonly atCurrent: number;
  /** Of the measuring current, K. */
  readonly heating: Expanded;
  /** K per mW of power in the element. */
  readonly coefficient: number;
}

/** Visits as resistances, the source's movement taken off by the thermometer that stays, where there is one. */
const visitsOf = (document: SelfHeatingTest, slope: number): Outcome<Visit[]> => {
  const visits: Visit[] = [];
  for (const [index, { current, readings }] of document.visits.entries()) {
    const where = `Two-current test, stay ${index + 1}`;
    let signal: readonly number[] = readings.signal;
    if (document.fixed !== undefined && readings.fixed !== undefined) {
      const beside = temperatures(document.fixed, readings.fixed, where);
      if (!beside.ok) return beside;
      signal = readings.signal.map((value, at) => value - slope * (beside.value[at]! - document.temperature));
    }
    const visit = visitOf(String(current), readings.time, signal, { resolution: document.resolution });
    if (!visit.ok) return visit;
    visits.push(visit.value);
  }
  return success(visits);
};

interface Heated {
  readonly change: number;
  readonly u: number;
  readonly dof: number;
}

/** R at the larger current less R at the smaller, Ω. */
const changeBetween = (levels: Levels): Heated => {
  const scatter = scatterOf([levels]);
  return {
    change: levels.differences[0]!,
    u: Math.sqrt(levels.covariance[0]![0]!) * scatter.factor,
    dof: scatter.dof,
  };
};

/**
 * The heating at the measuring current I of a change ΔR between I₁ and I₂: h = I²·ΔR/((I₂² − I₁²)·dR/dt), because the power
 * goes with I². The ratio of the currents has a limit of its own; its part is I₂²/(I₂² − I₁²)·2·δ of h.
 */
const heatingOf = (
  { change, u, dof }: Heated,
  [small, large]: readonly [number, number],
  current: number,
  slope: number,
  accuracy: number,
): Expanded => {
  const factor = current ** 2 / (large ** 2 - small ** 2) / slope;
  const ratio =
    ((2 * large ** 2) / (large ** 2 - small ** 2)) * (accuracy / 100 / Math.sqrt(3)) * Math.abs(factor * change);
  const own = Math.abs(factor) * u;
  const both = Math.hypot(own, ratio);
  return expanded(factor * change, both, own === 0 ? Number.POSITIVE_INFINITY : dof * (both / own) ** 4);
};

/** What is left of self-heating against what the coefficients of the report hold already (rule K16). */
const remaining = (document: SelfHeatingTest, heating: Expanded): { readonly limit: number; readonly why: string } => {
  const { inCertificate } = document;
  if (inCertificate === undefined)
    return {
      limit: limitOf(heating),
      why: "what the report's coefficients hold of it is not known, anything from none to all, so all of it counts",
    };
  const left = heating.value - inCertificate.value;
  return {
    limit: roundedUp(Math.abs(left) + Math.hypot(heating.U, inCertificate.U)),
    why: `the report's coefficients hold ${withU(inCertificate.value, inCertificate.U)} of it; the difference counts`,
  };
};

const revisionOf = (document: SelfHeatingTest, figure: FoundFigure): ProposedRevision => {
  const { reference } = document;
  const made = `two-current test of ${document.at.slice(0, 10)} in ${document.medium}`;
  const before = reference.selfHeating;
  return {
    kind: "reference",
    entry: {
      ...reference,
      revision: reference.revision + 1,
      selfHeating: figure.limit!,
      evidence: { ...reference.evidence, selfHeating: made },
    },
    changes: [
      {
        field: "selfHeating",
        before: typeof before === "number" ? `±${inWords(before)} K` : "a table",
        after: `±${inWords(figure.limit!)} K`,
        reason: made,
      },
    ],
  };
};

/**
 * Evaluates a two-current test: resistance at no current, R(0) = R₁ − I₁²·(R₂ − R₁)/(I₂² − I₁²), and the self-heating at the
 * measuring current, from alternate currents so that a drift cancels (rules K14 to K16; ITS-90 supplementary information on
 * extrapolation to zero power, from memory).
 */
export const evaluateSelfHeating = (document: SelfHeatingTest): Outcome<SelfHeatingResult> => {
  const currents = [...new Set(document.visits.map(({ current }) => current))].toSorted((a, b) => a - b);
  const [small, large] = currents;
  if (small === undefined || large === undefined || currents.length > 2)
    return failure("upkeep.incomplete", `A two-current test has exactly two currents; there are ${currents.length}.`);
  if (document.reference.unit !== "Ω")
    return failure("thermometry.unsupported", "Only a thermometer that is read in Ω heats itself by its current.");
  const nominal = signalOf(document.reference.sensor, document.temperature);
  if (!nominal.ok) return nominal;
  const visits = visitsOf(document, nominal.value.slope);
  if (!visits.ok) return visits;
  const levels = fitLevels("Two-current test", visits.value, String(small));
  if (!levels.ok) return levels;
  const lower = visits.value.filter(({ place }) => place === String(small));
  const atSmall = lower.reduce((sum, { value }) => sum + value, 0) / lower.length;
  const converted = temperatureOf(document.reference.sensor, atSmall);
  if (!converted.ok) return converted;
  return success(
    resultOf(document, [small, large], changeBetween(levels.value), {
      atSmall,
      slope: converted.value.slope,
      u: Math.hypot(...lower.map(({ u }) => u)) / lower.length,
    }),
  );
};

const resultOf = (
  document: SelfHeatingTest,
  currents: readonly [number, number],
  change: Heated,
  { atSmall, slope, u }: { readonly atSmall: number; readonly slope: number; readonly u: number },
): SelfHeatingResult => {
  const { reference, current } = document;
  const heating = heatingOf(change, currents, current, slope, document.currentAccuracy);
  const [small, large] = currents;
  const share = small ** 2 / (large ** 2 - small ** 2);
  const zero = atSmall - share * change.change;
  const left = remaining(document, heating);
  const figure: FoundFigure = {
    figure: "selfHeating",
    temperature: document.temperature,
    ...heating,
    limit: left.limit,
    rationale: `Self-heating at ${inWords(current)} mA in ${document.medium}: ${withU(heating.value, heating.U)}, from ${inWords(small)} mA and ${inWords(large)} mA in turn; ${left.why}`,
    visits: document.visits.map((_, index) => index),
  };
  const seen = Math.abs(heating.value) > heating.U;
  const negative = heating.value < -heating.U;
  const warnings: string[] = [];
  if (negative)
    warnings.push(
      "More current cannot cool a thermometer: readings were exchanged, or the source moved. Make the test again.",
    );
  else if (!seen) warnings.push("The heating is within its own uncertainty; the limit is what the test can exclude.");
  if (document.rehearsal) warnings.push("Made on a simulated bench: no evidence about real equipment.");
  const power = (current / 1000) ** 2 * atSmall * 1000;
  return {
    kind: "self-heating",
    entry: { kind: "reference", id: reference.id, serial: reference.serial },
    at: document.at,
    by: document.by,
    rehearsal: document.rehearsal,
    verdict: negative ? "inconclusive" : "conclusive",
    statement: `${reference.description} warms itself by ${withU(heating.value, heating.U)} at ${inWords(current)} mA in ${document.medium}; in the budget ±${inWords(left.limit)} K.`,
    figures: [figure],
    warnings,
    revision: negative ? null : revisionOf(document, figure),
    zeroPower: expanded(zero, Math.hypot(u, share * change.u), change.dof),
    atCurrent: zero + (current ** 2 / (large ** 2 - small ** 2)) * change.change,
    heating,
    coefficient: heating.value / power,
  };
};
