import { failure, success, type Outcome } from "#fault";
import type { Characterisation, CharacterisationVisit } from "../document/characterisation.ts";
import { digitInKelvin, temperatures } from "../document/temperatures.ts";
import type { Thermometer } from "../document/thermometer.ts";
import type { Evaluated, FoundFigure } from "../found.ts";
import { limitOf } from "../levels/expanded.ts";
import { scatterOf } from "../levels/scatter.ts";
import { inWords, limitsInWords } from "../words.ts";
import { controlFigures } from "./control-figures.ts";
import { fitPlaces, placeFigure, type PlaceFit } from "./place-figures.ts";
import { reviseSource } from "./revise-source.ts";
import { stabilityOf } from "./stability.ts";

/** A characterisation evaluated. */
export interface CharacterisationResult extends Evaluated {
  readonly kind: "characterisation";
  /** By how much repeated visits widened the uncertainties; 1: not at all. */
  readonly scatter: number;
}

type Numbered = readonly [number, CharacterisationVisit];

const parts = ["axial", "radial", "loading"] as const;

const stabilityFigures = (
  { fixed }: Characterisation,
  temperature: number,
  visits: readonly Numbered[],
): Outcome<FoundFigure[]> => {
  const figures: FoundFigure[] = [];
  for (const [index, visit] of visits) {
    if (visit.part !== "stability") continue;
    const where = `Stability at ${inWords(temperature)} °C`;
    if (visit.readings.fixed === undefined)
      return failure("upkeep.incomplete", `${where}: the thermometer that stays (fixed) was not read.`);
    const well = temperatures(fixed, visit.readings.fixed, where);
    if (!well.ok) return well;
    const found = stabilityOf(visit.readings.time, well.value, digitInKelvin(fixed, visit.readings.fixed[0]!));
    if (!found.ok) return found;
    const { halfRange, noise, ...figure } = found.value;
    figures.push({
      figure: "stability",
      temperature,
      ...figure,
      limit: limitOf(figure),
      rationale: `Stability: half of the range over ${Math.round((visit.readings.time.at(-1)! - visit.readings.time[0]!) / 60)} minutes, ±${inWords(halfRange)} K as read, ±${inWords(figure.value)} K without the thermometer's noise of ${inWords(noise)} K`,
      visits: [index],
    });
  }
  // Of several records at one temperature the roughest counts.
  return success(figures.toSorted((a, b) => b.limit! - a.limit!).slice(0, 1));
};

const withMoved = (document: Characterisation): Outcome<Characterisation & { readonly moved: Thermometer }> =>
  document.moved === undefined
    ? failure("upkeep.incomplete", "Axial, radial and loading need a thermometer that is moved: say which (moved).")
    : success({ ...document, moved: document.moved });

const fitAll = (
  document: Characterisation,
  byTemperature: ReadonlyMap<number, readonly Numbered[]>,
): Outcome<PlaceFit[]> => {
  const fits: PlaceFit[] = [];
  for (const [temperature, visits] of byTemperature) {
    for (const part of parts) {
      const own = visits.filter(([, visit]) => visit.part === part);
      if (own.length === 0) continue;
      const pair = withMoved(document);
      if (!pair.ok) return pair;
      const fit = fitPlaces(pair.value, part, temperature, own);
      if (!fit.ok) return fit;
      fits.push(fit.value);
    }
  }
  return success(fits);
};

const warningsOf = (document: Characterisation, fits: readonly PlaceFit[], temperatureCount: number): string[] => {
  const warnings = fits.flatMap(({ moved }) => moved);
  if (temperatureCount < 3)
    warnings.push(
      `The source was characterised at ${temperatureCount === 1 ? "one temperature" : `${temperatureCount} temperatures`}; three are usual: the ends of its use and the middle (EURAMET cg-13, from memory).`,
    );
  const heights = document.visits.filter(({ part }) => part === "axial").map(({ height }) => height);
  if (heights.length > 0 && Math.max(...heights) < document.zone)
    warnings.push(
      `The axial profile reaches ${inWords(Math.max(...heights))} mm up; the zone is ${inWords(document.zone)} mm. The limit holds only as far as it was measured.`,
    );
  if (document.rehearsal) warnings.push("Made on a simulated bench: no evidence about real equipment.");
  return warnings;
};

/**
 * Evaluates a characterisation: stability, axial and radial uniformity, loading, hysteresis and error of the indication, at
 * each temperature, along the lines of EURAMET cg-13 (from memory). What was not read is left out; what was read and does not
 * suffice is a failure that says what is missing.
 */
export const characterise = (document: Characterisation): Outcome<CharacterisationResult> => {
  const byTemperature = new Map<number, Numbered[]>();
  for (const [index, visit] of document.visits.entries())
    byTemperature.set(visit.temperature, [...(byTemperature.get(visit.temperature) ?? []), [index, visit]]);
  const fits = fitAll(document, byTemperature);
  if (!fits.ok) return fits;
  const scatter = scatterOf(fits.value.map(({ levels }) => levels));
  const figures: FoundFigure[] = fits.value.map((fit) => placeFigure(fit, scatter, document.conduction));
  for (const [temperature, visits] of byTemperature) {
    const stable = stabilityFigures(document, temperature, visits);
    if (!stable.ok) return stable;
    const control = controlFigures(document, temperature, visits);
    if (!control.ok) return control;
    figures.push(...stable.value, ...control.value);
  }
  return success(resultOf(document, figures, scatter.factor, warningsOf(document, fits.value, byTemperature.size)));
};

const resultOf = (
  document: Characterisation,
  found: readonly FoundFigure[],
  scatter: number,
  warnings: readonly string[],
): CharacterisationResult => {
  const order = ["stability", "axial", "radial", "loading", "hysteresis", "control"];
  const figures = found.toSorted(
    (a, b) => order.indexOf(a.figure) - order.indexOf(b.figure) || a.temperature - b.temperature,
  );
  const { source } = document;
  const named = order
    .map((name) => [name, figures.filter(({ figure }) => figure === name)] as const)
    .filter(([name, each]) => each.length > 0 && name !== "control")
    .map(([name, each]) => `${name} ${limitsInWords(each)}`);
  return {
    kind: "characterisation",
    entry: { kind: "source", id: source.id, serial: source.serial },
    at: document.at,
    by: document.by,
    rehearsal: document.rehearsal,
    verdict: figures.length > 0 ? "conclusive" : "inconclusive",
    statement:
      figures.length > 0
        ? `${source.description}: ${named.join("; ")}.`
        : "Nothing that was read says anything of the source.",
    figures,
    warnings,
    revision: reviseSource(document, figures),
    scatter,
  };
};
