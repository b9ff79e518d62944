import type { Item, Job } from "#calibration";
import type { FaultValue } from "#fault";
import { ordinaryError } from "../evidence/ordinary-error.ts";
import { nameSignal } from "../name-signal.ts";
import type { Finding } from "../watch-approach.ts";
import { diagnoseBench } from "./diagnose-bench.ts";
import { inPercent } from "./sureness.ts";

/** A signal that gives no temperature, and what stood beside it. */
export interface Unreadable {
  readonly item: Item;
  readonly fault: FaultValue;
  readonly signal: number;
  /** °C; null where it is not known. */
  readonly reference: number | null;
  readonly junction: number;
}

/** Standard uncertainty of an item's error while nothing is at rest, K (ours). */
const restlessU = 20;
const leastSure = 0.6;

/**
 * What a signal that gives no temperature means. What the faults would show at this one moment is weighed; where one of them
 * explains it well, it is said.
 */
export const nameUnreadable = (job: Job, { item, fault, signal, reference, junction }: Unreadable): Finding => {
  const plain = nameSignal(item.tag, fault);
  if (reference === null || item.sensor.kind === "switch") return plain;
  const [diagnosis] = diagnoseBench(
    {
      items: [
        {
          item: item.id,
          tag: item.tag,
          sensor: item.sensor,
          junction: item.coldJunction?.kind ?? null,
          junctionName: null,
          points: [{ point: 0, reference, referenceSignal: null, signal, junction, scatter: null, still: null }],
          ordinary: ordinaryError(item),
          floor: Math.max(1e-3, 1e-4 * Math.abs(signal)),
          reach: { lower: item.limits.minimum, upper: item.limits.maximum },
        },
      ],
      covariance: [[restlessU ** 2]],
      referenceSensor: null,
      ambient: job.conditions.ambientTemperature.value,
    },
    "as-found",
  );
  const [first] = diagnosis?.suspicions ?? [];
  if (first === undefined || first.probability < leastSure || first.fault === "none-of-these") return plain;
  return {
    ...plain,
    confidence: first.probability,
    message: `${plain.message} ${first.sureness === "practically certain" ? "Practically certain" : "Probable"} (${inPercent(first.probability)}): ${first.words}. Two-minute test: ${first.test}`,
  };
};
