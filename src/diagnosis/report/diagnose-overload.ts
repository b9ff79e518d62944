import type { Item, Job, Pass, RunEvent } from "#calibration";
import { r0Of } from "../hypotheses/resistance-models.ts";
import type { FaultName } from "../hypotheses/fault-name.ts";
import type { ItemDiagnosis, Suspicion } from "./diagnosis.ts";
import { wordsOf } from "./fault-words.ts";
import { inPercent, surenessOf } from "./sureness.ts";

interface Cause {
  readonly fault: FaultName;
  readonly variant: string;
  readonly weight: number;
}

/** Largest value that the readout takes in a unit; Infinity where it does not say. */
const reachOf = ({ kit }: Job, unit: string): number =>
  Math.max(
    0,
    ...kit.readout.accuracy.flatMap((row) => (row.unit === unit ? [row.upTo ?? Number.POSITIVE_INFINITY] : [])),
  );

/** What an overload can come from, with prior weights (common practice, no source). */
const causesOf = (job: Job, { sensor, unit }: Item): Cause[] => {
  const r0 = sensor.kind === "platinum" ? r0Of(sensor) : null;
  const beyond = r0 !== null && r0 < 500 && reachOf(job, unit) < 1000;
  return [
    { fault: "open-circuit", variant: "", weight: 0.01 },
    ...(beyond ? [{ fault: "wrong-nominal", variant: "1000 Ω at 0 °C", weight: 0.003 } as const] : []),
  ];
};

/**
 * Items of which the readout showed overload since the last point was measured: there is no number, so there is no pattern, but
 * there is a cause. A pass without such a fault gives none.
 */
export const diagnoseOverloads = (log: readonly RunEvent[], job: Job, pass: Pass): readonly ItemDiagnosis[] => {
  const begun = log.findLast((event) => event.kind === "pass-begun");
  const measured = log.findLastIndex((event) => event.kind === "point-measured");
  if (begun?.pass !== pass) return [];
  const everMeasured = measured >= 0;
  return job.items.flatMap((item): ItemDiagnosis[] => {
    const seen = log.some(
      (event, index) =>
        index > measured &&
        event.kind === "fault-seen" &&
        event.code === "signal.open-circuit" &&
        (event.item === item.id || event.channel === item.channel),
    );
    if (!seen) return [];
    // What was measured before with the same sensor has the right nominal resistance.
    const causes = causesOf(job, item).filter(({ fault }) => !everMeasured || fault === "open-circuit");
    const whole = causes.reduce((sum, { weight }) => sum + weight, 0);
    const suspicions = causes.map(({ fault, variant, weight }): Suspicion => {
      const { what, check, test } = wordsOf(fault, { tag: item.tag, sensor: item.sensor, variant });
      const probability = Math.min(0.98, weight / whole);
      const sureness = surenessOf(probability);
      return { fault, variant, words: what, probability, sureness, figures: [], errors: [], check, test };
    });
    const list = suspicions.map(({ words, probability }) => `${words} (${inPercent(probability)})`).join("; or ");
    return [
      {
        item: item.id,
        tag: item.tag,
        pass,
        verdict: "suspected",
        healthy: 0.02,
        points: [],
        suspicions,
        together: suspicions.length,
        next: null,
        sentence: `The readout shows overload: ${list}. ${suspicions[0]!.check} Two-minute test: ${suspicions[0]!.test}`,
      },
    ];
  });
};
