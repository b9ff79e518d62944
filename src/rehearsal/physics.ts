import { z } from "zod";

const between = (what: string) =>
  z
    .tuple([z.number(), z.number()])
    .refine(([low, high]) => low <= high, { error: "the smaller number comes first" })
    .describe(`${what}; drawn evenly between the two`);
const factor = (what: string) =>
  z
    .tuple([z.number().positive(), z.number().positive()])
    .refine(([low, high]) => low <= high, { error: "the smaller number comes first" })
    .describe(`${what}; a factor drawn evenly in its logarithm between the two`);

const setPoints = z.array(z.number()).min(1);

/**
 * What is left to chance in a rehearsal, and within which bounds: the physics of the bench beyond what the kit states of
 * itself. Every run draws its own. Invented but plausible figures (common practice, no source).
 */
export const physicsSchema = z.strictObject({
  ambient: between("temperature of the surroundings at the start, °C").default([18, 28]),
  ambientDrift: between("how fast the surroundings warm up, K an hour").default([-1, 1]),
  start: between("where the source begins, as a share of the way from the surroundings to the first set point").default(
    [0, 0.4],
  ),
  fallingShare: z
    .number()
    .min(0)
    .max(1)
    .default(0.25)
    .describe("share of the runs that visit their set points from the highest to the lowest"),
  capacity: factor("heat capacity of block or bath, with what is loaded into it").default([0.85, 1.2]),
  heating: factor("heating power, the mains as it is").default([0.85, 1.05]),
  referenceLag: factor("lags of the reference against those of its kind").default([0.8, 1.25]),
  itemLag: factor("lags of the item against those of its kind").default([0.7, 1.4]),
  itemNoise: factor("noise of the item against that of its kind").default([0.6, 1.7]),
  itemError: z
    .number()
    .nonnegative()
    .default(0.45)
    .describe("standard deviation of the item's true error, as a share of its tolerance"),
  stemLoss: between("share of the difference to the surroundings that is lost along the item's stem").default([
    0, 0.0003,
  ]),
  ambientEffect: between(
    "transmitters: how far the indication moves for each K that the surroundings are away from 23 °C, K/K",
  ).default([-0.006, 0.006]),
  looseFit: z
    .strictObject({ share: z.number().min(0).max(0.5), lag: z.number().positive() })
    .nullable()
    .default(null)
    .describe("a loose fit of the item: this share of every change arrives through a further lag of so many seconds"),
  wellCreep: z
    .strictObject({ share: between("share of every change that comes late"), lag: between("its lag, s") })
    .nullable()
    .default(null)
    .describe("creep of the items' wells against the reference's"),
  cycling: z
    .strictObject({ amplitude: z.number().nonnegative(), period: z.number().positive() })
    .nullable()
    .default(null)
    .describe("cycling of the source in place of its own, K and s"),
  setPoints: z
    .strictObject({
      bath: setPoints.default([40, 80, 120, 160]),
      "dry-block": setPoints.default([100, 200, 300, 400]),
      furnace: setPoints.default([300, 400, 500, 600]),
    })
    .prefault({})
    .describe("standard cells: the points of a run, °C"),
  targetFraction: z
    .number()
    .positive()
    .max(1)
    .default(0.2)
    .describe("standard cells: target of settling, as a fraction of the tolerance"),
  readings: z
    .strictObject({ count: z.int().min(2).default(20), interval: z.number().positive().default(2) })
    .prefault({})
    .describe("standard cells: readings at a point"),
  longestWait: z.number().positive().default(14_400).describe("standard cells: longest wait at a point, s"),
  soak: z
    .strictObject({
      band: z
        .number()
        .positive()
        .default(0.3)
        .describe("± K of the set point on the source's own display: it has arrived"),
    })
    .prefault({})
    .describe("fixed soaks for comparison begin when the source has arrived"),
});

export type Physics = z.infer<typeof physicsSchema>;
export type PhysicsInput = z.input<typeof physicsSchema>;

export const defaultPhysics: Physics = physicsSchema.parse({});
