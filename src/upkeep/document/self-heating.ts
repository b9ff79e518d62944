import { z } from "zod";
import { common, referenceEntrySchema } from "./common.ts";
import { sameLength, time } from "./readings.ts";
import { thermometerSchema } from "./thermometer.ts";

const text = z.string().trim().min(1);
const column = z.array(z.number()).min(2);

/** A two-current test of a resistance thermometer. */
export const selfHeatingSchema = z.strictObject({
  ...common,
  kind: z.literal("self-heating"),
  reference: referenceEntrySchema,
  medium: text.describe("where it stands, for example: well of the dry block"),
  temperature: z.number().describe("nominal, °C"),
  current: z.number().positive().describe("measuring current of ordinary use, mA"),
  currentAccuracy: z.number().nonnegative().default(0).describe("± limit of the ratio of the currents, %"),
  resolution: z.number().nonnegative().default(0).describe("one digit of the resistance, Ω"),
  inCertificate: z
    .strictObject({
      value: z.number().nonnegative().describe("self-heating that the coefficients of the report already hold, K"),
      U: z.number().nonnegative(),
    })
    .optional()
    .describe("left out: not known, anything from none to all of it"),
  fixed: thermometerSchema.optional().describe("a thermometer that stays: the source's movement is taken off by it"),
  visits: z
    .array(
      z.strictObject({
        current: z.number().positive().describe("mA"),
        readings: z
          .strictObject({
            time,
            signal: column.describe("resistance, Ω"),
            fixed: column.optional().describe("the thermometer that stays, in its unit"),
          })
          .superRefine(sameLength),
      }),
    )
    .min(1),
});

export type SelfHeatingTest = z.infer<typeof selfHeatingSchema>;
