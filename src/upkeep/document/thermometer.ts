import { z } from "zod";
import { figureSchema, identifierSchema, sensorSchema } from "#calibration";
import { signalUnits } from "#quantity";
import { prepare } from "#thermometry";

const text = z.string().trim().min(1);

/** A thermometer that helps in a test: how its signal and a temperature belong together, and how fine it is read. */
export const thermometerSchema = z
  .strictObject({
    id: identifierSchema,
    description: text.optional(),
    sensor: sensorSchema,
    unit: z.enum(signalUnits),
    resolution: z.number().nonnegative().default(0).describe("one digit of its readings, in unit"),
    junction: z.number().default(0).describe("thermocouples: temperature of the reference junction, °C"),
    calibration: z
      .strictObject({ certificate: text, uncertainty: figureSchema, k: z.number().positive().default(2) })
      .optional()
      .describe("what makes its temperatures traceable; differences of its own need none"),
  })
  .superRefine(({ sensor, unit }, context) => {
    const prepared = prepare(sensor);
    if (!prepared.ok) context.addIssue({ code: "custom", path: ["sensor"], message: prepared.fault.message });
    else if (prepared.value.signalUnit !== unit)
      context.addIssue({
        code: "custom",
        path: ["unit"],
        message: `a sensor of this kind is read in ${prepared.value.signalUnit}; a display that shows °C by itself is {kind: indication}`,
      });
  });

export type Thermometer = z.infer<typeof thermometerSchema>;
