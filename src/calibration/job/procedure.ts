import { z } from "zod";
import { fitModels } from "../fit/curve-fit.ts";

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
    .array(z.strictObject({ temperature: z.number() }))
    .min(1)
    .describe("temperatures in the order in which they are visited, °C"),
  readings: z
    .strictObject({
      count: z.int().min(2).describe("readings of each channel at a point"),
      interval: z.number().positive().describe("seconds from one reading to the next"),
    })
    .default({ count: 20, interval: 2 }),
  settling: z
    .strictObject({
      target: settlingTargetSchema,
      minimumWindow: z.number().positive().default(120).describe("shortest window of judgement, s"),
      longestWait: z.number().positive().default(7200).describe("longest wait at a point, s"),
    })
    .default({ target: { fractionOfTolerance: 0.2 }, minimumWindow: 120, longestWait: 7200 }),
  decision: decisionRuleSchema,
  adjustment: z
    .strictObject({
      kind: z.literal("zero-and-span"),
      adjustAbove: z
        .number()
        .nonnegative()
        .max(1)
        .describe("adjust when an as-found error exceeds this fraction of the tolerance"),
      authorisedBy: text,
    })
    .optional(),
  fit: z
    .strictObject({
      model: z.enum(fitModels),
      degree: z.int().min(0).max(12).optional().describe("of a polynomial or of a thermocouple's deviation"),
      subrange: z.int().min(1).max(11).optional().describe("of the ITS-90"),
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
