import { z } from "zod";
import { identifierSchema, sensorSchema } from "#calibration";
import { signalUnits } from "#quantity";

const text = z.string().trim().min(1);
const day = z.iso.date("a date as year-month-day, for example 2026-03-31");

const rise = (values: readonly (number | string)[]): boolean =>
  values.every((value, index) => index === 0 || value > values[index - 1]!);

const differences = z.strictObject({
  kind: z.literal("differences"),
  table: z
    .array(
      z.strictObject({
        at: z.number().describe("°C for a reference; for a readout in its unit"),
        add: z
          .number()
          .describe("what must be added to what it said there: K for a reference; for a readout in its unit"),
        u: z.number().nonnegative().default(0).describe("standard uncertainty of that"),
      }),
    )
    .min(1)
    .refine((rows) => rise(rows.map(({ at }) => at)), { error: "rows must rise, each `at` once" })
    .describe("linear between rows; beyond the ends the end row holds"),
  unit: z.enum(signalUnits).optional().describe("of a readout that was found out: only readings in this unit"),
});

const coefficients = z.strictObject({
  kind: z.literal("coefficients"),
  sensor: sensorSchema.describe("the sensor as it should have been written"),
  u: z.number().nonnegative().default(0).describe("standard uncertainty of the correction, K"),
});

const course = z.discriminatedUnion("kind", [
  z
    .strictObject({ kind: z.literal("step") })
    .describe("the whole correction from the day after the last good evidence on: the worst case"),
  z.strictObject({ kind: z.literal("linear") }).describe("grew evenly from the last good evidence to the finding"),
  z
    .strictObject({ kind: z.literal("unknown") })
    .describe(
      "half of the correction at any day, ± half of it as limits: for a list that must not lean to either side",
    ),
  z
    .strictObject({
      kind: z.literal("checks"),
      shares: z
        .array(z.strictObject({ day, share: z.number().min(0).max(1) }))
        .min(1)
        .refine((shares) => rise(shares.map((each) => each.day)), { error: "days must rise, each once" }),
    })
    .describe("as checks in between showed it: linear between them"),
]);

/** A kit entry that was found out, and what is assumed of it. */
export const suspicionSchema = z
  .strictObject({
    kit: z.strictObject({
      kind: z.enum(["reference", "readout"]),
      serial: text,
      entry: identifierSchema.optional().describe("only runs that used it under this name"),
      revision: z
        .int()
        .min(1)
        .optional()
        .describe("only runs that used this revision: a coefficient that was mistyped in it"),
    }),
    good: day.describe("day of the last good evidence: calibration, check"),
    bad: day.describe("day on which it was found out"),
    correction: z.discriminatedUnion("kind", [differences, coefficients]),
    course,
    significant: z
      .number()
      .positive()
      .default(1 / 3)
      .describe("a result counts as moved when it moves by more than this share of its own U"),
    reason: text,
  })
  .superRefine(({ kit, good, bad, correction, course: way }, context) => {
    if (bad < good)
      context.addIssue({ code: "custom", path: ["bad"], message: "was found out before its last good evidence" });
    if (kit.kind === "readout" && correction.kind === "coefficients")
      context.addIssue({
        code: "custom",
        path: ["correction"],
        message: "a readout has no coefficients: give differences",
      });
    if (kit.kind === "readout" && correction.kind === "differences" && correction.unit === undefined)
      context.addIssue({
        code: "custom",
        path: ["correction", "unit"],
        message: "say in which unit the readout was off",
      });
    if (way.kind === "checks" && way.shares.some((each) => each.day < good || each.day > bad))
      context.addIssue({
        code: "custom",
        path: ["course", "shares"],
        message: "a check lies before good or after bad",
      });
  });

export type Suspicion = z.infer<typeof suspicionSchema>;
export type Correction = Suspicion["correction"];
