import { figureAt } from "#calibration";
import { success, type Outcome } from "#fault";
import { meanOfSeries } from "#uncertainty";
import type { Characterisation, CharacterisationVisit } from "../document/characterisation.ts";
import { digitInKelvin, temperatures } from "../document/temperatures.ts";
import type { FoundFigure } from "../found.ts";
import { expanded, limitOf } from "../levels/expanded.ts";
import { inWords, withU } from "../words.ts";

interface Shown {
  readonly index: number;
  readonly direction: "rising" | "falling" | undefined;
  /** What the source shows less what its well has, K. */
  readonly value: number;
  readonly u: number;
  readonly dof: number;
}

const shownIn = ({ fixed }: Characterisation, index: number, visit: CharacterisationVisit): Outcome<Shown | null> => {
  const { readings } = visit;
  if (readings.control === undefined || readings.fixed === undefined) return success(null);
  const where = `Control indication at ${inWords(visit.temperature)} °C`;
  const well = temperatures(fixed, readings.fixed, where);
  if (!well.ok) return well;
  const differences = readings.control.map((value, at) => value - well.value[at]!);
  const series = meanOfSeries(differences, { resolution: digitInKelvin(fixed, readings.fixed[0]!) });
  if (!series.ok) return series;
  const { mean, standardUncertainty, degreesOfFreedom } = series.value;
  return success({ index, direction: visit.direction, value: mean, u: standardUncertainty, dof: degreesOfFreedom });
};

const meanOf = (shown: readonly Shown[]) => {
  const value = shown.reduce((sum, each) => sum + each.value, 0) / shown.length;
  const u = Math.hypot(...shown.map((each) => each.u)) / shown.length;
  return { value, u, dof: shown.reduce((sum, { dof }) => sum + dof, 0) };
};

/** Half of what the source shows too much after cooling less the same after heating, at one well temperature (rule K8). */
const hysteresisOf = (temperature: number, shown: readonly Shown[]): FoundFigure | null => {
  const falling = shown.filter(({ direction }) => direction === "falling");
  const rising = shown.filter(({ direction }) => direction === "rising");
  if (falling.length === 0 || rising.length === 0) return null;
  const [down, up] = [meanOf(falling), meanOf(rising)];
  const found = expanded((down.value - up.value) / 2, Math.hypot(down.u, up.u) / 2, down.dof + up.dof);
  return {
    figure: "hysteresis",
    temperature,
    ...found,
    limit: limitOf(found),
    rationale: `Hysteresis of the source's own indication: half of falling less rising, ${withU(found.value, found.U)}; counts only where the source's indication is used as reference`,
    visits: [...falling, ...rising].map(({ index }) => index),
  };
};

/**
 * Error of the source's own indication against the thermometer that stays, and its hysteresis, at one temperature (rules K7
 * and K8). Without a calibration of that thermometer the error is not traceable and is not stated; the hysteresis, a
 * difference, is.
 */
export const controlFigures = (
  document: Characterisation,
  temperature: number,
  visits: readonly (readonly [number, CharacterisationVisit])[],
): Outcome<FoundFigure[]> => {
  const shown: Shown[] = [];
  for (const [index, visit] of visits) {
    if (visit.part !== "stability" && visit.part !== "hysteresis") continue;
    const one = shownIn(document, index, visit);
    if (!one.ok) return one;
    if (one.value !== null) shown.push(one.value);
  }
  if (shown.length === 0) return success([]);
  const hysteresis = hysteresisOf(temperature, shown);
  const figures = hysteresis === null ? [] : [hysteresis];
  const { calibration } = document.fixed;
  if (calibration === undefined) return success(figures);
  const all = meanOf(shown);
  const certified = figureAt(calibration.uncertainty, temperature) / calibration.k;
  const u = Math.hypot(all.u, certified);
  const dof = all.u === 0 ? Number.POSITIVE_INFINITY : all.dof * (u / all.u) ** 4;
  const found = expanded(all.value, u, dof);
  figures.unshift({
    figure: "control",
    temperature,
    ...found,
    limit: limitOf(found),
    rationale: `Error of the source's own indication: shown less well, ${withU(found.value, found.U)}; thermometer ${document.fixed.id} by certificate ${calibration.certificate}`,
    visits: shown.map(({ index }) => index),
  });
  return success(figures);
};
