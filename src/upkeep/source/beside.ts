import { failure, success, type Outcome } from "#fault";
import type { BesideReadings } from "../document/readings.ts";
import { digitInKelvin, temperatures } from "../document/temperatures.ts";
import type { Thermometer } from "../document/thermometer.ts";
import { visitOf, type Visit } from "../levels/visit.ts";

/** Moved less fixed thermometer, reading by reading, as one visit to a place, K. */
export const besideVisit = (
  where: string,
  place: string,
  readings: BesideReadings,
  pair: { readonly fixed: Thermometer; readonly moved: Thermometer; readonly placing: number },
  against?: string,
): Outcome<Visit> => {
  if (readings.fixed === undefined || readings.moved === undefined)
    return failure(
      "upkeep.incomplete",
      `${where}: both thermometers must be read, the one that stays (fixed) and the one that is moved (moved).`,
    );
  const fixed = temperatures(pair.fixed, readings.fixed, where);
  if (!fixed.ok) return fixed;
  const moved = temperatures(pair.moved, readings.moved, where);
  if (!moved.ok) return moved;
  const differences = moved.value.map((value, index) => value - fixed.value[index]!);
  const resolution = Math.hypot(
    digitInKelvin(pair.fixed, readings.fixed[0]!),
    digitInKelvin(pair.moved, readings.moved[0]!),
  );
  const visit = visitOf(place, readings.time, differences, { resolution, against, placing: pair.placing });
  return visit.ok ? success(visit.value) : visit;
};
