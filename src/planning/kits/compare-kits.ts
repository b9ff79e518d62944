import type { Job, Kit } from "#calibration";
import type { FaultValue } from "#fault";
import { planJob, type JobPlan, type PlanContext, type PlannedItem } from "../plan-job.ts";
import type { Improvement, Limiting } from "../proof/limiting-entry.ts";

/** A kit, or parts of one, in place of the job's own. */
export interface KitChoice {
  readonly name: string;
  readonly reference?: Kit["reference"] | undefined;
  readonly readout?: Kit["readout"] | undefined;
  readonly source?: Kit["source"] | undefined;
}

/** What a kit makes of the job's hardest point, and of its whole. */
export interface ComparedKit {
  readonly name: string;
  readonly goodEnough: boolean;
  /** Why it is not good enough, or what it is worth. */
  readonly words: string;
  readonly obstacles: readonly FaultValue[];
  /** The point with the smallest ratio of all items; null where no point can be evaluated. */
  readonly worst: {
    readonly item: string;
    readonly tag: string;
    readonly temperature: number;
    readonly expectedU: number;
    readonly ratio: number;
    readonly consumerRisk: number | null;
    readonly producerRisk: number | null;
    readonly limiting: Limiting | null;
    readonly change: Improvement | null;
  } | null;
  /** Until the source may be carried away, s. */
  readonly seconds: number;
  readonly plan: JobPlan;
}

export interface KitComparison {
  readonly kits: readonly ComparedKit[];
  /** The quickest of those that are good enough; null where none is. */
  readonly best: string | null;
  readonly words: string;
}

/** Largest consumer's risk of a kit that is called good enough (ANSI/NCSL Z540.3, 5.3 b, from memory). */
const consumerLimit = 0.02;
/** Smallest ratio of a kit that is called good enough: below it a guard band of U takes half of the tolerance (common practice). */
const leastRatio = 2;

/** A job with parts of its kit replaced; the reference is read on the job's own channel. */
export const withKit = (job: Job, choice: KitChoice): Job => ({
  ...job,
  kit: {
    reference:
      choice.reference === undefined ? job.kit.reference : { ...choice.reference, channel: job.kit.reference.channel },
    readout: choice.readout ?? job.kit.readout,
    source: choice.source ?? job.kit.source,
  },
});

const worstOf = (items: readonly PlannedItem[]): ComparedKit["worst"] => {
  const candidates = items.flatMap(({ item, tag, points, worst, change }) => {
    const point = points.find((each) => each.point === worst);
    return point?.expectedU == null || point.ratio === null ? [] : [{ item, tag, point, change, ratio: point.ratio }];
  });
  if (candidates.length === 0) return null;
  const { item, tag, point, change, ratio } = candidates.reduce((one, other) =>
    other.ratio < one.ratio ? other : one,
  );
  return {
    item,
    tag,
    temperature: point.temperature,
    expectedU: point.expectedU!,
    ratio,
    consumerRisk: point.risk?.globalRisk?.consumer ?? null,
    producerRisk: point.risk?.globalRisk?.producer ?? null,
    limiting: point.limiting,
    change,
  };
};

const percent = (share: number): string => `${Number((100 * share).toPrecision(2))} %`;

const judged = (plan: JobPlan, worst: ComparedKit["worst"]): { goodEnough: boolean; words: string } => {
  const [first] = plan.obstacles;
  if (first !== undefined) {
    const short =
      first.code === "job.cannot-prove" && worst !== null
        ? `Nothing could be accepted at any point; at ${worst.temperature} °C (${worst.tag}) U is ${worst.expectedU.toPrecision(2)} K, ${(1 / worst.ratio).toFixed(1)} times the tolerance.`
        : first.message;
    return { goodEnough: false, words: short };
  }
  if (worst === null) return { goodEnough: false, words: "No point can be evaluated with it." };
  const at = `At ${worst.temperature} °C (${worst.tag})`;
  const blind = plan.items.flatMap(({ tag, points }) =>
    points.flatMap(({ temperature, proves, tolerance }) =>
      tolerance !== null && !proves ? [`${tag} at ${temperature} °C`] : [],
    ),
  );
  if (blind.length > 0) return { goodEnough: false, words: `Nothing could be accepted of ${blind.join(", ")}.` };
  if (worst.ratio < leastRatio)
    return {
      goodEnough: false,
      words: `${at} the tolerance is only ${worst.ratio.toFixed(1)} times U; ${leastRatio} times are asked for.`,
    };
  const risky = plan.items
    .flatMap(({ tag, points }) => points.map((point) => ({ tag, point })))
    .find(({ point }) => (point.risk?.globalRisk?.consumer ?? 0) > consumerLimit);
  if (risky !== undefined)
    return {
      goodEnough: false,
      words: `The consumer's risk at ${risky.point.temperature} °C (${risky.tag}) is ${percent(risky.point.risk!.globalRisk!.consumer)}, above ${percent(consumerLimit)}.`,
    };
  return { goodEnough: true, words: `${at} the tolerance is ${worst.ratio.toFixed(1)} times U, and nowhere less.` };
};

/**
 * The same job with several kits: what each would prove, how long it would take, which are good enough and which of those is
 * quickest (rule P13). Good enough: nothing in the way, every point with a tolerance can be accepted, the tolerance is twice
 * U or more everywhere, and the consumer's risk 2 % or less.
 */
export const compareKits = (job: Job, choices: readonly KitChoice[], context: PlanContext): KitComparison => {
  const kits = choices.map((choice): ComparedKit => {
    const changed = withKit(job, choice);
    const sameSource = changed.kit.source.id === job.kit.source.id;
    const plan = planJob(changed, { ...context, learnt: sameSource ? context.learnt : null });
    const worst = worstOf(plan.items);
    return {
      name: choice.name,
      ...judged(plan, worst),
      obstacles: plan.obstacles,
      worst,
      seconds: plan.time.whole,
      plan,
    };
  });
  const enough = kits.filter(({ goodEnough }) => goodEnough);
  const best = enough.length === 0 ? null : enough.reduce((one, other) => (other.seconds < one.seconds ? other : one));
  const surest = kits.reduce<ComparedKit | null>(
    (one, other) => ((other.worst?.ratio ?? 0) > (one?.worst?.ratio ?? 0) ? other : one),
    null,
  );
  const words =
    best !== null
      ? `${best.name} is good enough${enough.length > 1 ? ` and the quickest of ${enough.length} that are` : ""}.`
      : surest?.worst == null
        ? "None of these kits can be used for this job."
        : `None is good enough. ${surest.name} comes nearest, limited by its ${surest.worst.limiting?.entry ?? "budget"} at ${surest.worst.temperature} °C.`;
  return { kits, best: best?.name ?? null, words };
};
