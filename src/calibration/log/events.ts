import { z } from "zod";
import { signalUnits } from "#quantity";
import { identifierSchema } from "../job/item.ts";
import { jobSchema } from "../job/job.ts";
import { passes } from "../job/procedure.ts";

/**
 * The run log: JSON Lines, one event a line, past tense. `n` counts the lines from 0 without a gap; `at` is seconds on
 * the run's own clock since it was opened (never falling). Line 0 freezes everything that evaluation needs.
 */
export const logFormat = "dwellpoint-run/1";

const place = { n: z.int().nonnegative(), at: z.number().nonnegative() };
const text = z.string().min(1);
const pass = z.enum(passes);
const point = z.int().nonnegative().describe("index into procedure.points");

export const runOpenedSchema = z.strictObject({
  kind: z.literal("run-opened"),
  format: z.literal(logFormat),
  n: z.literal(0),
  at: z.literal(0),
  run: identifierSchema,
  opened: z.iso.datetime().describe("UTC of at = 0"),
  software: z.strictObject({ name: text, version: text }),
  seed: z.int().nonnegative().nullable().describe("seed of the simulated bench; null on real instruments"),
  job: jobSchema,
  catalog: z.array(z.record(z.string(), z.unknown())).describe("the catalogue entries used, as they were"),
});

/** Times are seconds on the run's clock; `wire` holds the digits as they came, where there was a wire. */
export const readingsTakenSchema = z
  .strictObject({
    kind: z.literal("readings-taken"),
    ...place,
    channel: identifierSchema,
    unit: z.enum(signalUnits),
    times: z.array(z.number().nonnegative()).min(1),
    values: z.array(z.number()).min(1),
    wire: z.array(z.string()).optional(),
  })
  .refine((block) => block.times.length === block.values.length, { error: "times and values must be equally many" })
  .refine((block) => block.wire === undefined || block.wire.length === block.values.length, {
    error: "wire and values must be equally many",
  });

/** Why a point was held to be ready: the estimate of the steady difference and a bound on what is still missing. */
export const settlingEvidenceSchema = z.strictObject({
  from: z.number().describe("start of the window, s"),
  to: z.number().describe("end of the window, s"),
  estimate: z.number().describe("steady difference indication − reference, K"),
  remainder: z.number().nonnegative().describe("bound on what is still missing, about 95 %, K"),
  standardUncertainty: z.number().nonnegative().describe("of the estimate, autocorrelation accounted for, K"),
  slope: z.number().describe("of the difference, K/s"),
  slopeStandardError: z.number().nonnegative(),
  autocorrelation: z.number(),
  target: z.number().positive().describe("K"),
});

export const runEventSchema = z.discriminatedUnion("kind", [
  runOpenedSchema,
  z.strictObject({ kind: z.literal("pass-begun"), ...place, pass }),
  z.strictObject({ kind: z.literal("output-switched"), ...place, on: z.boolean() }),
  z.strictObject({ kind: z.literal("set-point-commanded"), ...place, pass, point, temperature: z.number() }),
  readingsTakenSchema,
  z.strictObject({
    kind: z.literal("reading-rejected"),
    ...place,
    channel: identifierSchema,
    time: z.number(),
    reason: text,
  }),
  z.strictObject({
    kind: z.literal("point-settled"),
    ...place,
    pass,
    point,
    item: identifierSchema,
    evidence: settlingEvidenceSchema,
  }),
  z.strictObject({
    kind: z.literal("point-measured"),
    ...place,
    pass,
    point,
    from: z.number().describe("first instant of the window, s"),
    to: z.number().describe("last instant of the window, s"),
  }),
  z.strictObject({ kind: z.literal("point-skipped"), ...place, pass, point, reason: text, by: text }),
  z.strictObject({ kind: z.literal("point-repeated"), ...place, pass, point, reason: text, by: text }),
  z.strictObject({
    kind: z.literal("fault-seen"),
    ...place,
    code: text,
    message: text,
    channel: identifierSchema.optional(),
    item: identifierSchema.optional(),
    pass: pass.optional(),
    point: point.optional(),
  }),
  z.strictObject({ kind: z.literal("note-added"), ...place, text, by: text }),
  z.strictObject({
    kind: z.literal("item-adjusted"),
    ...place,
    item: identifierSchema,
    zero: z.number().describe("change of the indication at the lower end of the range, K"),
    span: z.number().describe("change of the indication over the range, K"),
    by: text,
  }),
  z.strictObject({ kind: z.literal("run-paused"), ...place, reason: text, by: text }),
  z.strictObject({ kind: z.literal("run-resumed"), ...place, by: text }),
  z.strictObject({
    kind: z.literal("run-ended"),
    ...place,
    outcome: z.enum(["completed", "stopped", "failed"]),
    reason: text.optional(),
    by: text,
  }),
  z.strictObject({ kind: z.literal("source-cool"), ...place, temperature: z.number(), below: z.number() }),
]);

export type RunEvent = z.infer<typeof runEventSchema>;
export type RunEventKind = RunEvent["kind"];
export type RunEventOf<K extends RunEventKind> = Extract<RunEvent, { kind: K }>;
export type RunOpened = RunEventOf<"run-opened">;
export type SettlingEvidence = z.infer<typeof settlingEvidenceSchema>;
/** An event as it is decided, before the log gives it its number. */
export type EventDraft = RunEvent extends infer E ? (E extends { n: number } ? Omit<E, "n"> : never) : never;
