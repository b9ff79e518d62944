import { z } from "zod";

const limits = z.object({ lower: z.number(), upper: z.number() });
const entry = z.enum(["reference", "readout", "source", "item", "procedure"]);
const probability = z.number().min(0).max(1);
const obstacle = z.object({ code: z.string(), message: z.string() });

const limitingSchema = z.object({ entry, id: z.string(), share: z.number().describe("of u², 0 to 1") });

const changeSchema = z.object({
  entry,
  id: z.string(),
  words: z.string(),
  now: z.number().describe("U as it is, K"),
  improved: z.number().describe("U with the change, K"),
});

const plannedPointSchema = z.object({
  point: z.int(),
  temperature: z.number(),
  tolerance: limits.nullable(),
  toleranceNote: z.string().nullable(),
  acceptance: limits.nullable().describe("errors that the rule would accept, K; null where nothing can be accepted"),
  expectedU: z.number().nullable().describe("expected expanded uncertainty, K"),
  ratio: z.number().nullable().describe("tolerance over expected U (test uncertainty ratio)"),
  proves: z.boolean().describe("whether an error could be accepted at all"),
  passProbability: probability.nullable(),
  conformanceProbability: probability.nullable().describe("of an item that is accepted"),
  specificRisk: probability.nullable().describe("of an accepted item at the acceptance limit"),
  globalRisk: z.object({ consumer: probability, producer: probability }).nullable(),
  assumption: z.object({ of: z.enum(["item", "class"]), words: z.string() }).nullable(),
  limiting: limitingSchema.nullable(),
  dominant: z.array(z.object({ name: z.string(), share: z.number() })),
  time: z
    .object({ seconds: z.number(), shortest: z.number(), longest: z.number() })
    .describe("from the set point to the last reading, s"),
});

/** The plan of a job, before anything is heated: what is expected at each point, how long it takes, what stands in the way. */
export const planSchema = z.object({
  items: z.array(
    z.object({
      item: z.string(),
      worst: z.int().nullable().describe("point with the smallest ratio"),
      change: changeSchema.nullable().describe("the one change that would help most there"),
      points: z.array(plannedPointSchema),
    }),
  ),
  time: z
    .object({
      points: z.number(),
      shortest: z.number(),
      longest: z.number(),
      leaving: z.object({ touchSafe: z.number(), transport: z.number() }),
      whole: z.number().describe("until the source may be carried away"),
      asLeft: z.number().nullable(),
      basis: z.string(),
    })
    .describe("all in s"),
  order: z.object({
    points: z.array(z.int()).describe("places of the points in the order that costs least time"),
    temperatures: z.array(z.number()),
    saves: z.number().describe("against the written order, s"),
    differs: z.boolean(),
    exact: z.boolean(),
    bound: z.array(z.string()),
  }),
  referenceCheck: z
    .object({ agrees: z.boolean(), words: z.string() })
    .nullable()
    .optional()
    .describe("the reference's coefficients against its report's own check values; null where the kit holds none"),
  ready: z.boolean(),
  obstacles: z.array(obstacle),
  cautions: z.array(z.string()),
});

/** The order in which a job's points are to be visited from now on, by their present places. */
export const chosenOrderSchema = z.object({ points: z.array(z.int().nonnegative()).min(1) });

/** The same job with other kits. */
export const kitComparisonSchema = z.object({
  kits: z.array(
    z.object({
      name: z.string(),
      goodEnough: z.boolean(),
      words: z.string(),
      seconds: z.number(),
      worst: z
        .object({
          tag: z.string(),
          temperature: z.number(),
          expectedU: z.number(),
          ratio: z.number(),
          consumerRisk: z.number().nullable(),
          producerRisk: z.number().nullable(),
          limiting: limitingSchema.nullable(),
        })
        .nullable(),
    }),
  ),
  best: z.string().nullable(),
  words: z.string(),
});

const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, "a time as HH:MM, for example 08:30");

/** What a day is asked to hold. */
export const dayQuestionSchema = z.object({
  jobs: z.string().min(1).describe("numbers of the jobs, with commas between them"),
  start: clock.default("08:00"),
  end: clock.optional(),
  pause: clock.optional().describe("beginning of a break"),
  pauseMinutes: z.coerce.number().int().min(5).max(240).default(30),
});

/** A day over one job or several, with clock times. */
export const dayPlanSchema = z.object({
  entries: z.array(
    z.object({
      kind: z.enum(["set-up", "point", "pause", "cool", "ice-check", "transport", "pack"]),
      start: z.string(),
      end: z.string(),
      from: z.number().describe("minutes after midnight"),
      to: z.number(),
      words: z.string(),
      source: z.string().nullable(),
    }),
  ),
  finish: z.string(),
  leftOut: z.array(z.object({ jobs: z.array(z.string()), words: z.string() })),
  unready: z.array(z.object({ job: z.string(), message: z.string() })).describe("jobs that cannot be done as they are"),
  assumptions: z.array(z.string()),
});

export type Plan = z.infer<typeof planSchema>;
export type KitComparisonAnswer = z.infer<typeof kitComparisonSchema>;
export type DayQuestion = z.input<typeof dayQuestionSchema>;
export type DayPlan = z.infer<typeof dayPlanSchema>;
