import { z } from "zod";
import { readoutSchema } from "#calibration";
import { common, referenceEntrySchema } from "./common.ts";
import { sameLength, time } from "./readings.ts";

export const checkPoints = ["ice-point", "water-triple-point"] as const;

/** A timed check of a reference in an ice point or a triple point of water. */
export const referenceCheckSchema = z.strictObject({
  ...common,
  kind: z.literal("reference-check"),
  reference: referenceEntrySchema,
  readout: readoutSchema.optional().describe("left out where it is the one with which the reference was calibrated"),
  point: z.enum(checkPoints),
  halfWidth: z
    .number()
    .nonnegative()
    .optional()
    .describe("± limit of the point's own temperature, K; 0.005 for ice, 0.0005 for a triple point of water"),
  resolution: z.number().nonnegative().default(0).describe("one digit of the resistance, Ω"),
  immersion: z.number().positive().optional().describe("mm"),
  readings: z
    .strictObject({ time, signal: z.array(z.number()).min(2).describe("resistance, Ω") })
    .superRefine(sameLength),
  earlier: z
    .array(
      z.strictObject({
        at: z.iso.datetime(),
        resistance: z.number().positive().describe("found at the point, Ω"),
        u: z.number().nonnegative().describe("standard uncertainty, K"),
      }),
    )
    .default([])
    .describe("earlier checks of the same reference at the same point, oldest first"),
});

export type ReferenceCheck = z.infer<typeof referenceCheckSchema>;
export type EarlierCheck = ReferenceCheck["earlier"][number];
