import { z } from "zod";

/** How a switch is taken past its trip: slowly, both ways, some times over. Rates in K/min, temperatures in K, times in s. */
export const rampSchema = z
  .strictObject({
    rate: z
      .number()
      .positive()
      .max(5)
      .default(0.3)
      .describe("rate past the trip, K/min; 0.1 to 0.5 is common practice, without a source"),
    slowRate: z
      .number()
      .positive()
      .optional()
      .describe("rate of every second cycle, K/min: two rates show how much the switch trails, and it is corrected"),
    before: z
      .number()
      .positive()
      .optional()
      .describe(
        "how far before the expected change the slow ramp begins, K; 1.5 times the tolerance and 1 K if absent",
      ),
    beyond: z
      .number()
      .positive()
      .optional()
      .describe("how far beyond the expected change it goes on at most, K; 1.5 times the tolerance and 1 K if absent"),
    cycles: z
      .int()
      .min(1)
      .max(20)
      .default(3)
      .describe("how often it is taken up and down; 3 is common practice, without a source"),
    soak: z.number().nonnegative().default(120).describe("rest before a ramp, once the source holds its beginning, s"),
    hold: z
      .number()
      .nonnegative()
      .default(10)
      .describe("how long the contact must stay changed before the change counts, s; shorter ones are bounces"),
    lagWithin: z
      .number()
      .nonnegative()
      .default(60)
      .describe(
        "± limit of how much the switch trails the reference, s, where neither sensor.lag nor slowRate says it",
      ),
    step: z
      .number()
      .positive()
      .max(1)
      .default(0.05)
      .describe("steps in which the set point is moved, K, where the source has no ramp of its own"),
    by: z
      .enum(["steps", "source"])
      .default("steps")
      .describe("steps: the set point is moved in small steps; source: by the source's own ramp rate"),
  })
  .refine(({ rate, slowRate }) => slowRate === undefined || slowRate <= 0.75 * rate, {
    error: "must be 0.75 times the rate or less: rates that are nearly alike do not tell how much the switch trails",
    path: ["slowRate"],
  })
  .refine(({ slowRate, cycles }) => slowRate === undefined || cycles >= 2, {
    error: "two rates need two cycles or more",
    path: ["cycles"],
  });

/** One ramp of a switch: from a temperature to the point's own, past the expected change. */
export const sweepSchema = z
  .strictObject({
    from: z.number().describe("where the slow ramp begins, °C"),
    rate: z.number().positive().describe("K/min"),
    cycle: z.int().min(1),
  })
  .describe("a slow ramp that ends at this temperature at the latest; made from procedure.ramp");

export type Ramp = z.infer<typeof rampSchema>;
export type Sweep = z.infer<typeof sweepSchema>;
