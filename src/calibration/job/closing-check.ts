import { z } from "zod";
import { identifierSchema } from "./item.ts";

const text = z.string().trim().min(1);
const limit = z
  .number()
  .positive()
  .describe("largest change that the run may hold, K; beyond it every point measured with the reference is suspect");

/**
 * What shows, before anybody leaves, that the reference is still what its certificate says (ISO/IEC 17025:2017, 6.4.10 and
 * 7.7.1, from memory). It is made in the cool-down, when nobody needs the source.
 */
export const closingCheckSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("ice-point").describe("the reference alone, in an ice point"),
    halfWidth: z.number().nonnegative().default(0.01).describe("± limit of the ice point, K"),
    limit,
  }),
  z.strictObject({
    kind: z.literal("check-thermometer").describe("a second thermometer beside the reference in the source"),
    temperature: z.number().describe("where the two are compared on the way down, °C"),
    description: text,
    serial: text,
    certificate: text,
    uncertainty: z
      .number()
      .positive()
      .describe("expanded uncertainty of the check thermometer there, drift included, K"),
    k: z.number().positive().default(2),
    channel: identifierSchema
      .optional()
      .describe("the channel on which it shows its temperature in °C; typed by hand where there is none"),
    limit,
  }),
  z.strictObject({
    kind: z
      .literal("first-point")
      .describe("the first point once more at the end of each pass: item and reference together"),
    limit,
  }),
]);

export type ClosingCheckPlan = z.infer<typeof closingCheckSchema>;
