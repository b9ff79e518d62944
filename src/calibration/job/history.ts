import { z } from "zod";
import { identifierSchema } from "./item.ts";

const text = z.string().trim().min(1);

/** An error that was found before, with what its own measurement was worth. */
export const earlierErrorSchema = z.strictObject({
  date: z.iso.date("a date as year-month-day, for example 2026-03-31"),
  error: z.number().describe("error as it was found, K"),
  u: z.number().nonnegative().describe("its standard uncertainty, K (U divided by its k)"),
  temperature: z
    .number()
    .optional()
    .describe("where it was found, °C; it then counts at this temperature only, and otherwise at every point"),
  source: text.optional().describe("certificate or run that it stands in"),
});

/**
 * What is known of an item before it is measured: errors found earlier, of itself or of items of its class. A prior is fitted
 * from them, and with it the global risks of the decision rule (JCGM 106:2012, 9.5).
 */
export const historySchema = z.strictObject({
  item: identifierSchema.describe("the item of this job that it is for"),
  of: z.enum(["item", "class"]).describe("errors of this very item, or of items of its class"),
  source: text.optional().describe("where the errors come from, in words"),
  errors: z.array(earlierErrorSchema).min(1),
});

export type EarlierError = z.infer<typeof earlierErrorSchema>;
export type History = z.infer<typeof historySchema>;
