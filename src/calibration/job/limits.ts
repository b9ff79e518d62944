import { z } from "zod";
import type { Item } from "./item.ts";
import type { Kit } from "./kit.ts";
import type { Procedure } from "./procedure.ts";

/** How far a reading may lie beyond a limit before the heat is taken away, K, where the job does not say (*ours*). */
const usualOvershoot = 5;

/** The job's own limits. What kit and items impose holds beside them; the tightest wins. */
export const limitsSchema = z
  .strictObject({
    minimum: z.number().optional().describe("no set point below this, and no reading of reference or item, °C"),
    maximum: z.number().optional().describe("no set point above this, and no reading of reference or item, °C"),
    overshoot: z
      .number()
      .nonnegative()
      .max(50)
      .optional()
      .describe("how far a reading may lie beyond a limit before the heat is taken away, K; 5 where nothing is said"),
    ramp: z
      .number()
      .positive()
      .optional()
      .describe("fastest change of temperature on the way to a point, K/min; as fast as the source can where not said"),
    unattended: z
      .number()
      .min(60)
      .optional()
      .describe("the source is switched off when nobody has touched the run for this long, s; no limit where not said"),
  })
  .refine(({ minimum, maximum }) => minimum === undefined || maximum === undefined || minimum < maximum, {
    error: "minimum must be less than maximum",
    path: ["maximum"],
  });

export type OwnLimits = z.infer<typeof limitsSchema>;

/** A limit and whose it is, for the sentence. */
export interface Limit {
  readonly value: number;
  readonly whose: string;
}

/** All limits of a run in one place, each with its owner. Temperatures in °C, ramp in K/min, times in s. */
export interface RunLimits {
  /** What may be commanded of the source. */
  readonly lowest: Limit;
  readonly highest: Limit;
  /** What reference and items may read, the allowance for overshoot not counted. */
  readonly coldest: Limit;
  readonly hottest: Limit;
  readonly overshoot: number;
  readonly ramp: Limit | null;
  readonly unattended: Limit | null;
}

/** Who limits what: a range in °C with the name by which a person knows its owner. */
export interface OwnedRange {
  readonly what: string;
  readonly owner: "job" | "source" | "reference" | "item";
  readonly minimum: number;
  readonly maximum: number;
}

interface Limited {
  readonly kit: Kit;
  readonly items: readonly Item[];
  readonly limits?: OwnLimits | undefined;
}

/** Every range that binds a job, its own first. */
export const rangesOf = ({ kit: { source, reference }, items, limits }: Limited): readonly OwnedRange[] => [
  ...(limits?.minimum === undefined && limits?.maximum === undefined
    ? []
    : [
        {
          what: "this job",
          owner: "job" as const,
          minimum: limits.minimum ?? Number.NEGATIVE_INFINITY,
          maximum: limits.maximum ?? Number.POSITIVE_INFINITY,
        },
      ]),
  { what: `heat source ${source.serial}`, owner: "source", ...source.range },
  { what: `reference ${reference.serial}`, owner: "reference", ...reference.range },
  ...items.map((item) => ({
    what: `item ${item.tag}`,
    owner: "item" as const,
    minimum: item.limits.minimum,
    maximum: item.limits.maximum,
  })),
];

const lowestOf = (ranges: readonly OwnedRange[]): Limit =>
  ranges
    .map(({ what, minimum }) => ({ value: minimum, whose: what }))
    .reduce((tightest, each) => (each.value > tightest.value ? each : tightest));

const highestOf = (ranges: readonly OwnedRange[]): Limit =>
  ranges
    .map(({ what, maximum }) => ({ value: maximum, whose: what }))
    .reduce((tightest, each) => (each.value < tightest.value ? each : tightest));

const least = (limits: readonly (Limit | null)[]): Limit | null =>
  limits
    .filter((limit) => limit !== null)
    .reduce<Limit | null>(
      (tightest, each) => (tightest === null || each.value < tightest.value ? each : tightest),
      null,
    );

const owned = (value: number | undefined, whose: string): Limit | null =>
  value === undefined ? null : { value, whose };

/** The limits of a job: of all that is said by the job, its kit and its items the tightest, and whose it is. */
export const limitsOf = (job: Limited): RunLimits => {
  const ranges = rangesOf(job);
  const seen = ranges.filter(({ owner }) => owner !== "source");
  return {
    lowest: lowestOf(ranges),
    highest: highestOf(ranges),
    coldest: lowestOf(seen),
    hottest: highestOf(seen),
    overshoot: job.limits?.overshoot ?? usualOvershoot,
    ramp: least([
      owned(job.limits?.ramp, "this job"),
      owned(job.kit.reference.fastestRamp, `reference ${job.kit.reference.serial}`),
      ...job.items.map((item) => owned(item.limits.ramp, `item ${item.tag}`)),
    ]),
    unattended: owned(job.limits?.unattended, "this job"),
  };
};

interface LimitComplaint {
  readonly path: readonly (string | number)[];
  readonly message: string;
}

/** What of a procedure crosses the job's own limits, by the place where it is written. */
export const limitComplaints = ({
  limits,
  procedure,
}: {
  readonly limits?: OwnLimits | undefined;
  readonly procedure: Pick<Procedure, "points" | "ramp">;
}): readonly LimitComplaint[] => {
  if (limits === undefined) return [];
  const { minimum = Number.NEGATIVE_INFINITY, maximum = Number.POSITIVE_INFINITY, ramp } = limits;
  const complaints: LimitComplaint[] = procedure.points.flatMap(({ temperature }, index) =>
    temperature >= minimum && temperature <= maximum
      ? []
      : [
          {
            path: ["procedure", "points", index, "temperature"],
            message: `${temperature} °C is beyond the job's own limits (${minimum} °C to ${maximum} °C). Leave the point out, or correct limits.`,
          },
        ],
  );
  if (ramp !== undefined && procedure.ramp !== undefined && procedure.ramp.rate > ramp)
    complaints.push({
      path: ["procedure", "ramp", "rate"],
      message: `${procedure.ramp.rate} K/min is faster than the job's own limit (limits.ramp: ${ramp} K/min).`,
    });
  return complaints;
};
