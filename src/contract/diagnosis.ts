import { z } from "zod";
import { passes } from "#calibration";

/** One thing that may be wrong with an item: how sure, what to check, and what takes two minutes and would tell. */
const suspicionSchema = z.object({
  fault: z.string(),
  variant: z.string().describe("which of several of its kind; empty where there is one only"),
  words: z.string(),
  probability: z.number().min(0).max(1),
  sureness: z.string().describe("a plain word for the probability"),
  figures: z.array(z.object({ name: z.string(), value: z.number(), unit: z.string() })),
  errors: z.array(z.number().nullable()).describe("errors of the points if it is so, K"),
  check: z.string(),
  test: z.string(),
});

/** What the pattern of errors of a run may mean, item by item and pass by pass. It decides nothing. */
export const diagnosisAnswerSchema = z.object({
  items: z.array(
    z.object({
      item: z.string(),
      tag: z.string(),
      pass: z.enum(passes),
      verdict: z.enum(["nothing", "unclear", "suspected"]),
      healthy: z.number(),
      points: z.array(z.int()),
      suspicions: z.array(suspicionSchema).describe("the likeliest first"),
      together: z.int().describe("so many of the first cannot be told apart by these points"),
      next: z
        .object({
          temperature: z.number(),
          separation: z.number(),
          expected: z.array(z.object({ fault: z.string(), variant: z.string(), words: z.string(), error: z.number() })),
        })
        .nullable()
        .describe("the further temperature that would tell best"),
      sentence: z.string(),
    }),
  ),
});

export type DiagnosisAnswer = z.infer<typeof diagnosisAnswerSchema>;
