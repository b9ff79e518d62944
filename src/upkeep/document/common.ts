import { z } from "zod";
import { referenceSchema } from "#calibration";

const text = z.string().trim().min(1);

/** Version of the form of these documents. */
export const upkeepFormat = 1;

/** What every document of upkeep says first. */
export const common = {
  upkeep: z.literal(upkeepFormat).describe("version of this form"),
  at: z.iso.datetime({ error: "a time in UTC, for example 2026-11-25T08:30:00Z" }).describe("when the test began, UTC"),
  by: text.describe("who made the test"),
  rehearsal: z.boolean().default(false).describe("true: made on a simulated bench; no evidence about real equipment"),
  ambient: z.number().default(23).describe("surroundings, °C"),
  note: text.optional(),
};

/** A kit entry of a reference as it stands by itself: on which channel it is read is a matter of the job. */
export const referenceEntrySchema = z
  .looseObject({})
  .transform((entry): unknown => ({ channel: "reference", ...entry }))
  .pipe(referenceSchema);

/**
 * Coming back to a place never gives quite the same: what is taken for it before repeated stays have shown more (common practice, no
 * source).
 */
export const placing = z
  .number()
  .nonnegative()
  .default(0.001)
  .describe("standard uncertainty of coming back to a place, K; more where repeated stays show more");
