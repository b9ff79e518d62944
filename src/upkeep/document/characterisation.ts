import { z } from "zod";
import { sourceSchema } from "#calibration";
import { besideReadingsSchema } from "./readings.ts";
import { common, placing } from "./common.ts";
import { thermometerSchema } from "./thermometer.ts";

const text = z.string().trim().min(1);

export const characterisationParts = ["stability", "axial", "radial", "loading", "hysteresis"] as const;

const visitSchema = z.strictObject({
  part: z.enum(characterisationParts),
  temperature: z.number().describe("nominal, °C"),
  well: text.default("1").describe("well in which the moved thermometer is"),
  height: z.number().nonnegative().default(0).describe("of its tip above the bottom of the well, mm"),
  fixedWell: text.optional().describe("well of the thermometer that stays, where the two were exchanged"),
  loaded: z.boolean().default(false).describe("loading: whether the other wells are filled"),
  direction: z.enum(["rising", "falling"]).optional().describe("hysteresis: how the temperature was reached"),
  readings: besideReadingsSchema,
});

/** A heat source characterised: everything that was read, in the order in which it was read. */
export const characterisationSchema = z.strictObject({
  ...common,
  kind: z.literal("characterisation"),
  source: sourceSchema.describe("the kit entry as it stands before"),
  insert: text.optional().describe("insert in use; figures hold for it alone"),
  fixed: thermometerSchema,
  moved: thermometerSchema.optional(),
  conduction: z
    .number()
    .nonnegative()
    .default(0)
    .describe("± limit of what conduction along its stem changes in the moved thermometer between the heights, K"),
  zone: z.number().positive().default(40).describe("length of the zone for which the figures are to hold, mm"),
  placing,
  visits: z.array(visitSchema).min(1),
});

export type Characterisation = z.infer<typeof characterisationSchema>;
export type CharacterisationVisit = z.infer<typeof visitSchema>;
export type CharacterisationPart = (typeof characterisationParts)[number];
