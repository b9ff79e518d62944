import { z } from "zod";
import { characterisationSchema } from "../document/characterisation.ts";
import { pullTestSchema } from "../document/pull-test.ts";
import { referenceCheckSchema } from "../document/reference-check.ts";
import { selfHeatingSchema } from "../document/self-heating.ts";

const seconds = z.number().positive();

/** How it is read and moved, the same for every procedure. */
const manner = {
  read: z
    .strictObject({ seconds: seconds.default(240), every: seconds.default(5) })
    .default({ seconds: 240, every: 5 })
    .describe("each stay: for so many seconds, a reading every so many"),
  target: z.number().positive().default(0.01).describe("largest doubt that settling may leave before it is read, K"),
  move: z
    .enum(["cold", "by-site-rules"])
    .default("cold")
    .describe("cold: everything is below 50 °C before a thermometer is moved; otherwise as the site's rules allow"),
};

const characterisation = z.strictObject({
  ...manner,
  temperatures: z.array(z.number()).min(1).describe("°C; three are usual: the ends of use and the middle"),
  stability: z.boolean().default(true),
  heights: z.array(z.number().nonnegative()).default([0, 20, 40]).describe("mm; one or none: no axial profile"),
  wells: z.array(z.string().min(1)).default([]).describe("wells to compare; one or none: none"),
  loading: z.boolean().default(false),
  hysteresis: z.boolean().default(false),
});

const pullTest = z.strictObject({
  ...manner,
  depths: z.array(z.number().positive()).min(3).describe("mm, full depth first"),
});

const selfHeating = z.strictObject({
  ...manner,
  currents: z.tuple([z.number().positive(), z.number().positive()]).describe("mA, for example 1 and 1.4142"),
  rounds: z.int().min(1).default(2).describe("how many times there and back"),
});

const referenceCheck = z.strictObject({ ...manner, seconds: seconds.default(900).describe("s in the point") });

const noReadings = { visits: true, at: true } as const;

/** A procedure that is to be carried out: the document without its readings, and how it is to be done. */
export const upkeepPlanSchema = z.discriminatedUnion("kind", [
  characterisationSchema.omit(noReadings).extend({ procedure: characterisation }),
  pullTestSchema.omit(noReadings).extend({ procedure: pullTest }),
  selfHeatingSchema.omit(noReadings).extend({ procedure: selfHeating }),
  referenceCheckSchema.omit({ readings: true, at: true }).extend({ procedure: referenceCheck }),
]);

export type UpkeepPlan = z.infer<typeof upkeepPlanSchema>;
export type PlanOf<K extends UpkeepPlan["kind"]> = Extract<UpkeepPlan, { kind: K }>;
