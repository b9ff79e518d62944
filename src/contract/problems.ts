import { z } from "zod";

/** The one shape of an error answer. `fields` lists what is wrong with a document, each with its place. */
export const problemSchema = z.object({
  error: z.object({
    code: z.string(),
    message: z.string(),
    data: z.record(z.string(), z.unknown()).optional(),
  }),
});

/** One thing wrong with a document that a person wrote. */
export const fieldProblemSchema = z.object({
  line: z.int().nullable(),
  column: z.int().nullable(),
  path: z.string(),
  message: z.string(),
});

export type Problem = z.infer<typeof problemSchema>;
export type FieldProblem = z.infer<typeof fieldProblemSchema>;
