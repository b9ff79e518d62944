import { z } from "zod";
import { signalUnits } from "#quantity";
import { coefficientBand } from "../fit/fit-band.ts";
import { identifierSchema } from "./item.ts";
import { sensorSchema } from "./sensor.ts";
import { figureSchema } from "./table.ts";

const text = z.string().trim().min(1);
const day = z.iso.date("a date as year-month-day, for example 2026-03-31");
const range = z.strictObject({ minimum: z.number(), maximum: z.number() });

/** The calibration that a kit entry brings: who, when, until when, and how good. */
export const kitCalibrationSchema = z.strictObject({
  certificate: text,
  laboratory: text,
  accreditation: text.optional(),
  date: day,
  due: day,
  uncertainty: figureSchema
    .describe("expanded uncertainty U, K (for a readout: leave out, its accuracy says it)")
    .optional(),
  k: z.number().positive().default(2).describe("coverage factor of U"),
});

/** Values that a report gives so that its coefficients can be checked after copying. */
const checkValuesSchema = z
  .array(
    z.strictObject({
      temperature: z.number().describe("°C"),
      signal: z.number().describe("what the report states there, in the unit of the sensor's signal"),
      digits: z.int().min(0).max(15).optional().describe("places after the point as printed, where zeros end it"),
    }),
  )
  .min(1);

/** The covariance that a report gives for its coefficients, or that a fit of ours gives. */
const coefficientsSchema = z.strictObject({
  names: z
    .array(text)
    .min(1)
    .describe("coefficients of the sensor, in the order of the covariance: r0 a b c; rtpw a b …"),
  covariance: z.array(z.array(z.number())).min(1),
});

const entry = {
  id: identifierSchema,
  revision: z.int().min(1).default(1).describe("kit entries are revised, never edited"),
  description: text,
  model: text.optional(),
  serial: text,
  dataSheet: text
    .optional()
    .describe(
      "what its electronic data sheet (TEDS) says it is: maker-model-version-serial, for example 51-2207-A1-90117",
    ),
};

export const referenceSchema = z
  .strictObject({
    ...entry,
    sensor: sensorSchema,
    channel: identifierSchema,
    unit: z.enum(signalUnits),
    range,
    calibration: kitCalibrationSchema.required({ uncertainty: true }).extend({
      coefficients: coefficientsSchema
        .optional()
        .describe("covariance of the sensor's coefficients: what U does not hold already; read as interpolation"),
      checkValues: checkValuesSchema
        .optional()
        .describe("the report's own check values: the coefficients above must give them, or the job is refused"),
    }),
    driftPerYear: z.number().nonnegative().describe("± limit of drift in a year, K"),
    interpolation: figureSchema.default(0).describe("± limit of interpolation between calibration points, K"),
    selfHeating: figureSchema.default(0).describe("± limit of what is left of self-heating, K"),
    conduction: figureSchema.optional().describe("± limit of what is lost along the stem at the depth of use, K"),
    evidence: z
      .strictObject({
        selfHeating: text.optional(),
        conduction: text.optional(),
        sensor: text.optional(),
        sensorOn: day.optional(),
      })
      .optional()
      .describe("by which test a figure was found; the budget's line says so"),
    diameter: z.number().positive().optional().describe("mm"),
    immersion: z.number().positive().optional().describe("mm"),
    fastestRamp: z.number().positive().optional().describe("fastest change of temperature that it may see, K/min"),
  })
  .superRefine(({ sensor, calibration }, context) => {
    if (calibration.coefficients === undefined) return;
    const band = coefficientBand(sensor, calibration.coefficients);
    if (!band.ok)
      context.addIssue({ code: "custom", path: ["calibration", "coefficients"], message: band.fault.message });
  });

/** One row of a readout's accuracy table: ±(percentOfReading % of reading + absolute), in `unit`. */
export const accuracySchema = z.strictObject({
  unit: z.enum(signalUnits),
  upTo: z.number().positive().optional().describe("largest magnitude for which the row holds, in unit"),
  percentOfReading: z.number().nonnegative().default(0),
  absolute: z.number().nonnegative().default(0).describe("in unit"),
  resolution: z.number().nonnegative().default(0).describe("one digit, in unit"),
});

export const readoutSchema = z.strictObject({
  ...entry,
  calibration: kitCalibrationSchema,
  accuracy: z.array(accuracySchema).min(1),
});

export const sourceSchema = z.strictObject({
  ...entry,
  class: z.enum(["bath", "dry-block", "furnace"]),
  range,
  stability: figureSchema.describe("± limit over 30 minutes, K"),
  axial: figureSchema.describe("± limit along the sensing zone, K"),
  radial: figureSchema.describe("± limit between the wells, K"),
  loading: figureSchema.default(0).describe("± limit of what loading leaves between reference and item, K"),
  depth: z.number().positive().optional().describe("usable depth, mm"),
  characterised: day.optional().describe("when these figures were determined"),
  evidence: z
    .strictObject({
      stability: text.optional(),
      axial: text.optional(),
      radial: text.optional(),
      loading: text.optional(),
    })
    .optional()
    .describe("by which test a figure was found; the budget's line says so"),
  control: z
    .array(
      z.strictObject({
        temperature: z.number(),
        error: z.number().describe("what the source shows less what its well has, K"),
        U: z.number().nonnegative().describe("expanded uncertainty of it, K"),
        hysteresis: z.number().nonnegative().optional().describe("± limit, K"),
      }),
    )
    .min(1)
    .optional()
    .describe("error of the source's own indication; for information, no budget takes it"),
  wells: z
    .array(
      z.strictObject({
        diameter: z.number().positive().describe("mm"),
        depth: z.number().positive().optional().describe("usable depth, mm; the source's where nothing is said"),
        count: z.int().min(1).default(1).describe("how many of them"),
      }),
    )
    .min(1)
    .optional()
    .describe("wells of the insert: what fits, and how many probes at once"),
  rates: z
    .strictObject({
      heating: figureSchema.optional().describe("K a minute"),
      cooling: figureSchema.optional().describe("K a minute, output and cooling as the set point asks"),
      rest: z.number().positive().optional().describe("time constant of coming to rest at a set point, min"),
      cooldown: z.number().positive().optional().describe("time constant of cooling down with the output off, min"),
    })
    .optional()
    .describe("how fast it moves, for the plan; figures of its class are assumed where nothing is said"),
});

export const kitSchema = z.strictObject({ reference: referenceSchema, readout: readoutSchema, source: sourceSchema });

export type Reference = z.infer<typeof referenceSchema>;
export type Readout = z.infer<typeof readoutSchema>;
export type Source = z.infer<typeof sourceSchema>;
export type Kit = z.infer<typeof kitSchema>;
export type KitCalibration = z.infer<typeof kitCalibrationSchema>;
export type Accuracy = z.infer<typeof accuracySchema>;
