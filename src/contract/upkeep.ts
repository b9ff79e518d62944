import { z } from "zod";
import type { ControlChart, FoundFigure, ShiftAt, Verdict } from "#upkeep";

const word = z.string().trim().min(1).max(300);

const upkeepTestKinds = ["characterisation", "pull-test", "self-heating", "reference-check"] as const;
const kind = z.enum(upkeepTestKinds);

/** A step as it is shown: what to do, the caution at it, and what is to be typed where it reads. */
const shownStep = z.object({
  text: z.string(),
  caution: z.string().nullable(),
  read: z
    .object({
      stay: z.int().describe("number of the stay, from 0"),
      seconds: z.number(),
      every: z.number(),
      columns: z.array(z.object({ name: z.string(), label: z.string(), unit: z.string() })),
    })
    .nullable(),
});

const list = <T>() => z.custom<readonly T[]>((value) => Array.isArray(value));

/** A test of a kit entry with what it came to. */
export const upkeepFindingSchema = z.object({
  number: z.int().nullable().describe("null: evaluated, not kept"),
  kind,
  at: z.string().describe("UTC"),
  by: z.string(),
  rehearsal: z.boolean(),
  verdict: z.custom<Verdict>((value) => typeof value === "string"),
  statement: z.string(),
  figures: list<FoundFigure>(),
  everywhere: list<ShiftAt>().describe("what a shift means at every temperature; empty for other tests"),
  warnings: z.array(z.string()),
  changes: z.array(z.object({ field: z.string(), before: z.string(), after: z.string(), reason: z.string() })),
  approved: z.int().nullable().describe("revision that came of it"),
});

const chartSchema = z.object({
  point: z.string(),
  chart: z.custom<ControlChart>((value) => typeof value === "object" && value !== null),
  allowance: z
    .custom<readonly [number, number]>((value) => Array.isArray(value) && value.length === 2)
    .nullable()
    .describe(
      "shifts at the point that keep within the budget's drift at every temperature, on the day of the latest check, K",
    ),
});

/** Everything that the upkeep of a kit entry knows. */
export const kitUpkeepSchema = z.object({
  entry: z.object({
    kind: z.enum(["reference", "readout", "source"]),
    id: z.string(),
    description: z.string(),
    serial: z.string(),
    revision: z.int(),
  }),
  tests: z.array(z.object({ kind, title: z.string(), about: z.string(), steps: z.array(shownStep) })),
  findings: z.array(upkeepFindingSchema).describe("the newest first"),
  charts: z.array(chartSchema),
});

/** Readings of a test that were typed: the stays that were read, by their number. */
export const typedTestSchema = z.strictObject({
  kind,
  by: word,
  at: z.iso.datetime().describe("when it began, UTC"),
  ambient: z.number().min(-60).max(80).default(23),
  point: z.enum(["ice-point", "water-triple-point"]).default("ice-point"),
  temperature: z.number().min(-273).max(3000).optional().describe("°C; the usual one where nothing is said"),
  stays: z
    .array(
      z.strictObject({
        stay: z.int().min(0).max(999),
        readings: z.record(z.string(), z.array(z.number()).max(20_000)),
      }),
    )
    .min(1)
    .max(500),
});

export const approveUpkeepSchema = z.strictObject({ by: word, reason: word });

export type UpkeepFinding = z.infer<typeof upkeepFindingSchema>;
export type KitUpkeep = z.infer<typeof kitUpkeepSchema>;
export type TypedTest = z.input<typeof typedTestSchema>;
export type TypedTestRead = z.infer<typeof typedTestSchema>;
export type ShownStep = z.infer<typeof shownStep>;
export type { ControlChart, FoundFigure, ShiftAt };
