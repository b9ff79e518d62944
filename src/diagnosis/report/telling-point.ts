import { signalOf } from "#thermometry";
import type { BenchEvidence, ItemEvidence } from "../evidence/evidence.ts";
import { characteristicOf, type Characteristic } from "../hypotheses/characteristic.ts";
import { placeOf } from "../weigh/bench-problem.ts";
import { foretell, type Foretold } from "../weigh/foretell.ts";
import type { Candidate } from "../weigh/posterior.ts";
import type { TellingPoint } from "./diagnosis.ts";
import { wordsOf } from "./fault-words.ts";

/** Temperatures that are tried. */
const trials = 24;
/** Standard deviations between two expectations from which a point is worth its wait. */
const worthwhile = 2;

const roundTemperatures = ({ lower, upper }: ItemEvidence["reach"]): number[] => {
  const step = Math.max(1, ...[5, 10, 20, 25, 50].filter((each) => each <= (upper - lower) / trials));
  const first = Math.ceil(lower / step);
  return Array.from(
    { length: Math.max(0, Math.floor(upper / step) - first + 1) },
    (_, index) => (first + index) * step,
  );
};

/** An error as the item's own equation would show it, K: the signal held against the right one, over its slope there. */
export const errorOf = (own: Characteristic, signal: number, temperature: number, junction: number): number => {
  const exact = own.temperature(signal, junction) - temperature;
  if (Number.isFinite(exact)) return exact;
  const slope = own.signal(temperature + 0.5, junction) - own.signal(temperature - 0.5, junction);
  return (signal - own.signal(temperature, junction)) / slope;
};

const apart = (a: Foretold, b: Foretold): number =>
  Math.abs(a.signal - b.signal) / Math.hypot(a.standardDeviation, b.standardDeviation);

/** The temperature within reach at which two suspicions expect the most different errors; null where none is worth its wait. */
export const tellingPoint = (
  evidence: BenchEvidence,
  index: number,
  pair: readonly [Candidate, Candidate],
): TellingPoint | null => {
  const item = evidence.items[index]!;
  const start = evidence.items.slice(0, index).reduce((sum, { points }) => sum + points.length, 0);
  const squares = item.points.map((_, point) => evidence.covariance[start + point]![start + point]!);
  // A point not measured yet will be as good as the best of those that are.
  const u = Math.sqrt(Math.min(...squares));
  const own = characteristicOf(item.sensor);
  const junction = item.points.at(-1)!.junction;
  let best: TellingPoint | null = null;
  for (const temperature of roundTemperatures(item.reach)) {
    const reference = evidence.referenceSensor === null ? null : signalOf(evidence.referenceSensor, temperature);
    const referenceSignal = reference?.ok === true ? reference.value.signal : null;
    const place = placeOf({ reference: temperature, referenceSignal, junction }, 0, evidence.ambient);
    const about = { u, ordinary: item.ordinary(temperature), floor: item.floor };
    const foretold = pair.map((candidate) => foretell(candidate, place, about));
    const [a, b] = foretold;
    if (a == null || b == null) continue;
    const separation = apart(a, b);
    if (separation < worthwhile || (best !== null && separation <= best.separation)) continue;
    const expected = pair.map(({ fault, variant }, which) => ({
      fault,
      variant,
      words: wordsOf(fault, { tag: item.tag, sensor: item.sensor, variant }).what,
      error: errorOf(own, foretold[which]!.signal, temperature, junction),
    }));
    best = { temperature, separation, expected };
  }
  return best;
};
