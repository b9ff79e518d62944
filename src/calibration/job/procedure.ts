import { z } from "zod";
import { ruleQuantities } from "#settling";
import { fitModels } from "../fit/curve-fit.ts";
import { closingCheckSchema } from "./closing-check.ts";
import { rampSchema, sweepSchema } from "./ramp.ts";

const text = z.string().trim().min(1);

/** The rule by which an error and its uncertainty become a statement of conformity (ILAC-G8:09/2019, JCGM 106:2012). */
export const decisionRuleSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("simple") }),
  z.strictObject({
    kind: z.literal("guard-band"),
    factor: z.number().positive().default(1).describe("r of the guard band w = r·U"),
  }),
  z.strictObject({
    kind: z.literal("specific-risk"),
    limit: z
      .number()
      .positive()
      .max(0.5)
      .default(0.02)
      .describe("largest risk that an accepted error lies outside the tolerance, for this very item"),
  }),
  z.strictObject({ kind: z.literal("g8-non-binary") }),
]);

export const passes = ["as-found", "as-left"] as const;

export const settlingTargetSchema = z
  .strictObject({
    kelvin: z.number().positive().optional().describe("largest expanded uncertainty of the point's difference, K"),
    fractionOfTolerance: z.number().positive().max(1).optional(),
  })
  .refine((value) => (value.kelvin === undefined) !== (value.fractionOfTolerance === undefined), {
    error: "give either kelvin or fractionOfTolerance",
  });

export const directions = ["rising", "falling"] as const;

const model = z.enum(fitModels);
const degree = z.int().min(0).max(12).optional().describe("of a polynomial or of a thermocouple's deviation");
const subrange = z.int().min(1).max(11).optional().describe("of the ITS-90");

/** What is done to an item whose errors as found ask for it; each kind suits other items. */
const adjustmentSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("zero-and-span"),
    adjustAbove: z
      .number()
      .nonnegative()
      .max(1)
      .describe("adjust when an as-found error exceeds this fraction of the tolerance"),
    authorisedBy: text,
  }),
  z.strictObject({
    kind: z
      .literal("new-coefficients")
      .describe("coefficients fitted to the points as found; as left proves them on points measured anew"),
    model,
    degree,
    subrange,
    adjustAbove: z.number().nonnegative().max(1),
    authorisedBy: text,
  }),
]);

/** What binds the order of the points; where nothing does, a plan may propose the one that costs least time. */
export const orderSchema = z.strictObject({
  kind: z.enum(["as-written", "rising", "falling", "least-time"]).default("least-time"),
  first: z.number().optional().describe("temperature that is measured first, °C: the ice point, say"),
});

/** What a written procedure asks before a point may be measured; every rule given must hold at once (rule S15). */
export const settlingRulesSchema = z
  .strictObject({
    judgement: z
      .enum(["both", "rules"])
      .default("both")
      .describe("both: the rules and our own judgement must hold; rules: the written rules alone bind"),
    soak: z.number().positive().optional().describe("time since the reference reached the set point for good, s"),
    reachedWithin: z
      .number()
      .positive()
      .default(1)
      .describe("how near to the set point the reference counts as having reached it, K"),
    limits: z
      .array(
        z
          .strictObject({
            on: z.enum(ruleQuantities).describe("difference: item less reference at the same moment"),
            window: z.number().min(30).max(7200).describe("the limit must have held over so many seconds"),
            spread: z.number().positive().optional().describe("largest less smallest reading, K"),
            slope: z.number().positive().optional().describe("of the straight line, either way, K/min"),
          })
          .refine(({ spread, slope }) => spread !== undefined || slope !== undefined, {
            error: "give a spread, a slope, or both",
          }),
      )
      .max(16)
      .default([]),
  })
  .refine(({ soak, limits }) => soak !== undefined || limits.length > 0, {
    error: "give a soak, or at least one limit",
  });

export const procedureSchema = z.strictObject({
  method: z.strictObject({ identifier: text, revision: text, title: text }),
  passes: z
    .array(z.enum(passes))
    .min(1)
    .default(["as-found"])
    .refine((value) => value[0] === "as-found" && new Set(value).size === value.length, {
      error: "as-found comes first, each pass once",
    }),
  points: z
    .array(
      z.strictObject({
        temperature: z.number(),
        direction: z.enum(directions).optional().describe("from which side the point is to be reached"),
        sweep: sweepSchema.optional(),
      }),
    )
    .min(1)
    .default([])
    .describe("temperatures in the order in which they are visited, °C; one met rising and falling shows hysteresis"),
  repeatFirst: z.boolean().optional().describe("the first point is measured once more at the end of each pass"),
  closingCheck: closingCheckSchema.optional().describe("check of the reference before anybody leaves"),
  items: z
    .enum(["together", "each"])
    .optional()
    .describe("several items in one source: all measured at one moment (the default), or each as it becomes ready"),
  unattended: z
    .number()
    .positive()
    .optional()
    .describe("how long the source may hold a temperature in a break with nobody there, s; 1800 where nothing is said"),
  order: orderSchema.optional().describe("what the procedure asks of the order of the points"),
  ramp: rampSchema
    .optional()
    .describe("for temperature switches, in place of points: slow ramps past the trip, both ways"),
  readings: z
    .strictObject({
      count: z.int().min(2).describe("readings of each channel at a point"),
      interval: z.number().positive().describe("seconds from one reading to the next"),
    })
    .default({ count: 20, interval: 2 }),
  readingsByHand: z
    .strictObject({
      count: z.int().min(3).max(60).default(6).describe("readings of each typed channel at a point"),
      interval: z.number().min(10).max(1800).default(60).describe("seconds from one to the next"),
    })
    .optional()
    .describe("where channels are typed by a person: 6 readings a minute apart where nothing is said"),
  settling: z
    .strictObject({
      target: settlingTargetSchema,
      minimumWindow: z.number().positive().default(120).describe("shortest window of judgement, s"),
      longestWait: z.number().positive().default(7200).describe("longest wait at a point, s"),
      rules: settlingRulesSchema.optional().describe("for those who must follow a written rule"),
    })
    .default({ target: { fractionOfTolerance: 0.2 }, minimumWindow: 120, longestWait: 7200 }),
  decision: decisionRuleSchema,
  stateGlobalRisk: z
    .boolean()
    .optional()
    .describe("the customer asked for the global risks: they stand on the certificate (the job's history is needed)"),
  adjustment: adjustmentSchema.optional(),
  fit: z
    .strictObject({
      model,
      degree,
      subrange,
    })
    .refine(
      ({ model, degree }) => (model === "polynomial" || model === "thermocouple-deviation") === (degree !== undefined),
      {
        error: "degree belongs to polynomial and thermocouple-deviation, and they need it",
        path: ["degree"],
      },
    )
    .refine(({ model, subrange }) => (model === "its-90") === (subrange !== undefined), {
      error: "subrange belongs to its-90, and it needs it",
      path: ["subrange"],
    })
    .optional()
    .describe("equation to fit to each item's points; its coefficients and table stand on the certificate"),
  coverage: z.number().min(0.5).max(0.9999).default(0.9545).describe("coverage probability of U"),
});

export type Procedure = z.infer<typeof procedureSchema>;
export type DecisionRule = z.infer<typeof decisionRuleSchema>;
export type Pass = (typeof passes)[number];
export type Direction = (typeof directions)[number];
