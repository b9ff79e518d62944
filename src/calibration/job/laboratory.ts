import { z } from "zod";
import type { Item } from "./item.ts";
import { figureSchema } from "./table.ts";

type ItemKind = Item["sensor"]["kind"];

const kinds: Readonly<Record<ItemKind, ItemKind>> = {
  platinum: "platinum",
  thermocouple: "thermocouple",
  thermistor: "thermistor",
  loop: "loop",
  indication: "indication",
  switch: "switch",
};

/**
 * What the laboratory is able to do, as its scope of accreditation states it: the smallest expanded uncertainty over
 * temperature. No U of a certificate may be smaller (ILAC-P14:09/2020, from memory).
 */
export const capabilitySchema = z
  .array(
    z
      .strictObject({
        sensors: z
          .array(z.enum(kinds))
          .min(1)
          .optional()
          .describe("kinds of item for which the row holds; all where nothing is said"),
        from: z.number().describe("°C"),
        to: z.number().describe("°C"),
        U: figureSchema.describe("smallest expanded uncertainty, K"),
      })
      .refine(({ from, to }) => from <= to, { error: "from must not lie above to" }),
  )
  .min(1)
  .describe(
    "calibration and measurement capability of the laboratory: where its accreditation reaches, and its least U",
  );

/** An interval that the customer asked for; without it a certificate names no next calibration (ISO/IEC 17025:2017, 7.8.4.3). */
export const agreedIntervalSchema = z
  .strictObject({
    months: z.int().min(1).max(120),
    agreedWith: z.string().trim().min(1).describe("who agreed to it at the customer's"),
  })
  .describe("interval to the next calibration, only where it was agreed with the customer");

export type Capability = z.infer<typeof capabilitySchema>;
export type AgreedInterval = z.infer<typeof agreedIntervalSchema>;
