import { z } from "zod";
import { besideReadingsSchema } from "./readings.ts";
import { common, placing, referenceEntrySchema } from "./common.ts";
import { thermometerSchema } from "./thermometer.ts";

const depth = z.number().positive().describe("immersion, mm");

/** A pull test: one thermometer at several depths beside one that stays. */
export const pullTestSchema = z.strictObject({
  ...common,
  kind: z.literal("pull-test"),
  reference: referenceEntrySchema.optional().describe("kit entry of the thermometer under test, where it is one"),
  moved: thermometerSchema.describe("the thermometer under test"),
  fixed: thermometerSchema,
  diameter: z.number().positive().optional().describe("of the thermometer under test, mm"),
  temperature: z.number().describe("nominal, °C"),
  profile: z
    .array(
      z.strictObject({
        height: z.number().nonnegative().describe("above the place at full depth, mm"),
        difference: z.number().describe("temperature there less that at full depth, K"),
        U: z.number().nonnegative().default(0).describe("its expanded uncertainty, k = 2, K"),
      }),
    )
    .default([])
    .describe("the source's own axial profile, taken off the readings; interpolated linearly from 0 at full depth"),
  placing,
  visits: z.array(z.strictObject({ depth, readings: besideReadingsSchema })).min(1),
});

export type PullTest = z.infer<typeof pullTestSchema>;
