import { z } from "zod";
import { channelUnits } from "#quantity";
import { figureSchema } from "./table.ts";
import { itemSensorSchema } from "./sensor.ts";

export const identifierSchema = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9._-]*$/, "letters, digits, '.', '_' and '-' only, no spaces")
  .max(64);

const text = z.string().trim().min(1);

export const toleranceClasses = [
  "iec-60584-1/1",
  "iec-60584-1/2",
  "iec-60584-1/3",
  "astm-e230/standard",
  "astm-e230/special",
  "iec-60751/AA",
  "iec-60751/A",
  "iec-60751/B",
  "iec-60751/C",
] as const;

/**
 * The tolerance agreed with the customer: a class of a standard, or figures of the customer's own
 * (±kelvin, ±% of reading in °C, ±% of span; several are combined as `combine` says).
 */
export const toleranceSchema = z
  .strictObject({
    class: z.enum(toleranceClasses).optional(),
    construction: z.enum(["wire-wound", "film"]).optional().describe("for IEC 60751: which range of the class holds"),
    kelvin: z.number().positive().optional().describe("± limit in K"),
    percentOfReading: z.number().positive().optional().describe("± limit in % of the temperature in °C"),
    percentOfSpan: z.number().positive().optional().describe("± limit in % of the item's span"),
    kelvinTable: z
      .array(z.strictObject({ temperature: z.number(), kelvin: z.number().positive() }))
      .min(2)
      .refine((rows) => rows.every((row, index) => index === 0 || row.temperature > rows[index - 1]!.temperature), {
        error: "rows must be in rising order of temperature, each temperature once",
      })
      .optional()
      .describe("± limit in K over temperature in °C, linear between rows, undefined beyond them"),
    combine: z
      .enum(["larger", "sum"])
      .optional()
      .describe("how several figures combine; the larger where nothing is said"),
  })
  .refine(
    (value) =>
      (value.class !== undefined) !==
      (value.kelvin !== undefined ||
        value.percentOfReading !== undefined ||
        value.percentOfSpan !== undefined ||
        value.kelvinTable !== undefined),
    { error: "give either class, or one or more of kelvin, percentOfReading, percentOfSpan, kelvinTable" },
  );

/** How the reference junction of a thermocouple is known. */
export const coldJunctionSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("ice-point"),
    halfWidth: z.number().nonnegative().default(0.05).describe("± limit of the ice point, K"),
  }),
  z.strictObject({
    kind: z.literal("channel"),
    channel: identifierSchema.describe("the channel that reads the reference junction's temperature in °C"),
    halfWidth: z.number().nonnegative().describe("± limit of that temperature, K"),
  }),
]);

/** Uncertainty that belongs to the item itself, as ± limits in K (rectangular). */
export const itemContributionsSchema = z.strictObject({
  inhomogeneity: figureSchema.optional(),
  stemConduction: figureSchema.optional(),
  leads: figureSchema.optional(),
  hysteresis: figureSchema.optional(),
  selfHeating: figureSchema.optional(),
  insulation: figureSchema.optional(),
  loopSupply: figureSchema.optional(),
  ambient: figureSchema.optional(),
});

export const itemSchema = z.strictObject({
  id: identifierSchema,
  tag: text.describe("the name on the plate or in the plant's list"),
  description: text,
  serial: text,
  model: text.optional(),
  place: text.optional(),
  condition: text.optional().describe("condition as received, in words"),
  received: z.iso
    .date("a date as year-month-day, for example 2026-03-31")
    .optional()
    .describe("day of receipt, where it matters"),
  sensor: itemSensorSchema,
  channel: identifierSchema.describe("the channel of the bench on which the item is read"),
  unit: z.enum(channelUnits).describe("unit of that channel"),
  coldJunction: coldJunctionSchema.optional().describe("thermocouples only: how the reference junction is known"),
  indicationResolution: z
    .number()
    .positive()
    .optional()
    .describe("one digit of the item's own display, in K; only for items that show a temperature"),
  tolerance: toleranceSchema,
  range: z.strictObject({ lower: z.number(), upper: z.number() }).optional().describe("range of use, °C"),
  limits: z
    .strictObject({
      minimum: z.number(),
      maximum: z.number(),
      ramp: z.number().positive().optional().describe("fastest change of temperature that it may see, K/min"),
    })
    .describe("temperatures that the item must never be taken beyond, °C"),
  diameter: z.number().positive().optional().describe("outer diameter, mm"),
  immersion: z.number().positive().optional().describe("depth in the source, mm"),
  contributions: itemContributionsSchema.default({}),
});

export type Item = z.infer<typeof itemSchema>;
export type Tolerance = z.infer<typeof toleranceSchema>;
export type ToleranceClass = (typeof toleranceClasses)[number];
export type ColdJunction = z.infer<typeof coldJunctionSchema>;
