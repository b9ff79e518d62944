import { z } from "zod";
import { passes } from "#calibration";
import { signalUnits } from "#quantity";

const pass = z.enum(passes);
const unit = z.enum(signalUnits);

/** A stop on the route: one point of one pass. `share` is how much of the way to readiness is won, 0 to 1. */
export const stopSchema = z.object({
  pass,
  point: z.int(),
  temperature: z.number(),
  status: z.enum(["ahead", "approaching", "settling", "measuring", "measured", "not-measured", "skipped", "trouble"]),
  share: z.number().min(0).max(1),
  reason: z.string().nullable(),
  /** Once measured: the error of each item, K, with its expanded uncertainty where it is worked out already. */
  errors: z.array(z.object({ item: z.string(), error: z.number(), U: z.number().nullable() })),
});

const latestSchema = z.object({
  at: z.number().describe("s on the run's clock"),
  signal: z.number(),
  unit,
  temperature: z.number().nullable().describe("°C; null where the signal gives no temperature"),
});

/** Judgement of one item's approach at the present point. */
export const settlingViewSchema = z.object({
  item: z.string(),
  target: z.number().describe("half width of the allowed band, K"),
  estimate: z.number().nullable().describe("steady difference indication − reference, K"),
  bound: z.number().nullable().describe("bound on what is still missing, about 95 %, K"),
  ready: z.boolean(),
  inTheWay: z.array(z.object({ term: z.enum(["lag", "creep", "noise", "resolution", "window"]), share: z.number() })),
  forecast: z
    .object({ at: z.number(), from: z.number(), to: z.number() })
    .nullable()
    .describe("when it will be ready, s on the run's clock, with an interval of about 80 %"),
});

export const runCommandNames = [
  "start",
  "pause",
  "resume",
  "repeat-point",
  "skip-point",
  "stop",
  "add-note",
  "confirm-adjustment",
] as const;

/** What the screen shows of a run while it goes on. One message, always whole, so that any one of them is enough. */
export const runViewSchema = z.object({
  run: z.string(),
  job: z.string(),
  title: z.string(),
  opened: z.string().describe("UTC of the run's clock at 0"),
  at: z.number().describe("now, s on the run's clock"),
  speed: z.number().describe("how many times faster than real time the run's clock goes"),
  rehearsal: z.boolean(),
  stage: z.enum(["ready", "approaching", "settling", "measuring", "adjusting", "paused", "cooling", "ended"]),
  outcome: z.enum(["completed", "stopped", "failed"]).nullable(),
  pass: pass.nullable(),
  point: z.int().nullable(),
  setPoint: z.number().nullable(),
  pointStarted: z.number().nullable().describe("when the present set point was commanded, s"),
  route: z.array(stopSchema),
  sentence: z.object({ happening: z.string(), now: z.string() }),
  reference: latestSchema.nullable(),
  source: latestSchema.nullable(),
  items: z.array(
    z.object({
      item: z.string(),
      tag: z.string(),
      latest: latestSchema.nullable(),
      error: z.number().nullable().describe("indication − reference at the same moment, K"),
      tolerance: z.object({ lower: z.number(), upper: z.number() }).nullable(),
    }),
  ),
  settling: z.array(settlingViewSchema),
  readings: z.object({ taken: z.int(), wanted: z.int() }).nullable(),
  commands: z.array(z.enum(runCommandNames)).describe("what can be asked now"),
  cautions: z.array(z.string()),
  faults: z.array(z.object({ at: z.number(), code: z.string(), message: z.string() })),
});

/** The approach at one point, for the picture: columns of equal length; thinned to at most a few hundred rows. */
export const approachSchema = z.object({
  pass,
  point: z.int(),
  setPoint: z.number(),
  times: z.array(z.number()),
  reference: z.array(z.number().nullable()),
  source: z.array(z.number().nullable()),
  items: z.array(
    z.object({
      item: z.string(),
      temperature: z.array(z.number().nullable()),
      difference: z.array(z.number().nullable()),
      estimate: z.array(z.number().nullable()),
      bound: z.array(z.number().nullable()),
      target: z.number(),
    }),
  ),
});

/** One message of a run's stream. `seq` rises by one; a reader that misses one asks for the run again. */
export const runMessageSchema = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("view"), seq: z.int(), view: runViewSchema }),
  z.object({ kind: z.literal("approach"), seq: z.int(), approach: approachSchema }),
  z.object({ kind: z.literal("ended"), seq: z.int() }),
]);

export const runCommandSchema = z.object({
  command: z.enum(runCommandNames),
  reason: z
    .string()
    .trim()
    .min(1)
    .max(500)
    .optional()
    .describe("due for skip-point and repeat-point; stop takes one, and waits for none"),
  text: z.string().trim().min(1).max(2000).optional().describe("the note"),
  pass: pass.optional(),
  point: z.int().optional().describe("which point to repeat; the latest measured one if absent"),
  by: z.string().trim().min(1).max(120).optional(),
});

export type RunView = z.infer<typeof runViewSchema>;
export type Stop = z.infer<typeof stopSchema>;
export type SettlingView = z.infer<typeof settlingViewSchema>;
export type Approach = z.infer<typeof approachSchema>;
export type RunMessage = z.infer<typeof runMessageSchema>;
export type RunCommand = z.infer<typeof runCommandSchema>;
export type RunCommandName = (typeof runCommandNames)[number];
