import { z } from "zod";
import { passes } from "#calibration";
import { channelUnits } from "#quantity";

const pass = z.enum(passes);
const unit = z.enum(channelUnits);

/** A stop on the route: one point of one pass. `share` is how much of the way to readiness is won, 0 to 1. */
export const stopSchema = z.object({
  pass,
  point: z.int(),
  temperature: z.number(),
  direction: z.enum(["rising", "falling"]).nullable().default(null).describe("from which side it is to be reached"),
  added: z.boolean().default(false).describe("added to those of the procedure"),
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
  inTheWay: z.array(
    z.object({ term: z.enum(["lag", "creep", "noise", "resolution", "window", "rule"]), share: z.number() }),
  ),
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
  "add-point",
  "swap-points",
  "break",
  "replace-kit",
  "confirm-check",
  "record-check",
  "skip-check",
  "enter-reading",
  "confirm-reading",
  "withdraw-reading",
  "enough-readings",
  "confirm-set-point",
] as const;

/** The closing check of the reference while it is under way; K where nothing else is said. */
export const checkViewSchema = z.object({
  kind: z.enum(["ice-point", "check-thermometer"]),
  step: z.enum(["placing", "settling", "reading", "typing"]),
  temperature: z.number().describe("where it is checked, °C"),
  limit: z.number(),
  difference: z.number().nullable().describe("reference less what it should read"),
  bound: z.number().nullable(),
  target: z.number(),
});

/** An adjustment that waits for a person: what is to be set, and what it is forecast to do at every point. */
export const adviceViewSchema = z.object({
  item: z.string(),
  zero: z.number().describe("K at the lower end of the range"),
  span: z.number().describe("K more over the range"),
  coefficients: z
    .object({
      values: z.array(z.object({ name: z.string(), value: z.number(), unit: z.string() })),
      inItem: z.boolean().describe("to be entered in the item; otherwise they go with the sensor"),
    })
    .optional(),
  forecast: z.array(
    z.object({
      point: z.int(),
      nominal: z.number(),
      asFound: z.number(),
      shift: z.number(),
      shiftU: z.number(),
      asLeft: z.number(),
      U: z.number(),
    }),
  ),
  reason: z.string(),
});

/** A switch on its slow ramp: where the ramp is, and what the contacts read. */
export const rampViewSchema = z.object({
  phase: z.enum(["approach", "reset", "ramp", "ended"]),
  direction: z.enum(["rising", "falling"]),
  from: z.number().describe("where the slow ramp begins, °C"),
  to: z.number().describe("where it ends at the latest, °C"),
  rate: z.number().describe("K/min"),
  setPoint: z.number().nullable(),
  progress: z.number().min(0).max(1),
  endsBy: z.number().nullable().describe("when it ends at the latest, s on the run's clock"),
  contacts: z.array(
    z.object({
      item: z.string(),
      tag: z.string(),
      closed: z.boolean().nullable().describe("null until it has been read"),
      expected: z.number().describe("where its change is expected, °C"),
      closes: z.boolean().describe("whether it closes there, or opens"),
      allowed: z.object({ lower: z.number(), upper: z.number() }).nullable().describe("where it may change, °C"),
      chattering: z.boolean(),
      changedAt: z.number().nullable().describe("the reference at its change, °C"),
      changed: z.boolean(),
    }),
  ),
});

/** A reading that a person typed, as it is listed. */
const typedLineSchema = z.object({
  channel: z.string(),
  name: z.string(),
  unit,
  time: z.number().describe("when it was seen, s on the run's clock"),
  typed: z.string().describe("the digits as typed"),
  temperature: z.number().nullable(),
  by: z.string(),
  confirmed: z.boolean().describe("it was questioned, and confirmed as read"),
  withdrawn: z.object({ reason: z.string(), by: z.string() }).nullable(),
  pass: pass.nullable(),
  point: z.int().nullable(),
});

/** What is read and set by hand. */
export const handViewSchema = z.object({
  setPoint: z.number().nullable().describe("what the source is to be set to, °C, until somebody confirms it"),
  asked: z
    .object({ at: z.number(), channels: z.array(z.string()) })
    .nullable()
    .describe("what is to be read now, the next one first"),
  next: z.number().nullable().describe("when the next round is due, s on the run's clock"),
  question: z
    .object({
      channel: z.string(),
      time: z.number(),
      value: z.number(),
      typed: z.string(),
      question: z.string(),
      by: z.string(),
    })
    .nullable()
    .describe("a typed reading that is not likely: confirm it as read, or type it again"),
  channels: z.array(
    z.object({
      channel: z.string(),
      name: z.string(),
      unit,
      resolution: z.number().nullable().describe("smallest step that is read, in unit"),
      last: z.string().nullable().describe("the value typed last"),
    }),
  ),
  readings: z.array(typedLineSchema).describe("of the run, the newest first"),
  taken: z.int(),
  wanted: z.int(),
  fewest: z.int().describe("with so many a person may have enough"),
});

/** What the screen shows of a run while it goes on. One message, always whole, so that any one of them is enough. */
export const runViewSchema = z.object({
  run: z.string(),
  job: z.string(),
  title: z.string(),
  opened: z.string().describe("UTC of the run's clock at 0"),
  at: z.number().describe("now, s on the run's clock"),
  speed: z.number().describe("how many times faster than real time the run's clock goes"),
  rehearsal: z.boolean(),
  stage: z.enum([
    "ready",
    "approaching",
    "settling",
    "measuring",
    "adjusting",
    "checking",
    "paused",
    "cooling",
    "ended",
  ]),
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
  finish: z
    .object({ at: z.number(), from: z.number(), to: z.number() })
    .nullable()
    .default(null)
    .describe("when all points will be done, s on the run's clock, with an interval of about 80 %"),
  ramp: rampViewSchema.nullable().default(null),
  check: checkViewSchema.nullable().default(null),
  hand: handViewSchema.nullable().default(null).describe("what is read and set by hand"),
  adjustment: z.array(adviceViewSchema).nullable().default(null),
  onBreak: z
    .object({ hold: z.boolean(), until: z.number().nullable().describe("when the source is switched off, s") })
    .nullable()
    .default(null),
  output: z.boolean().default(false).describe("how the heat source's output was last switched"),
  contact: z
    .object({
      at: z.number().describe("when it was lost, s"),
      setPoint: z.number().nullable().describe("what the source was last sent to, °C"),
      output: z.boolean().describe("how its output was last switched"),
      temperature: z.number().nullable().describe("what its own sensor read last, °C"),
      seen: z.number().nullable().describe("when that was, s"),
      alone: z
        .object({ does: z.enum(["holds", "switches-off"]), after: z.number().nullable() })
        .nullable()
        .describe("what it does by itself, as its catalogue entry declares"),
      atDevice: z.string().describe("what a person can do at the instrument itself"),
      words: z.string(),
    })
    .nullable()
    .default(null)
    .describe("contact with the heat source is lost: how it was left"),
  attention: z
    .object({ until: z.number().describe("s on the run's clock") })
    .nullable()
    .default(null)
    .describe("when the source is switched off because nobody has touched the run"),
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
  point: z.int().optional().describe("which point to repeat or to swap; the latest measured one if absent"),
  with: z.int().optional().describe("swap-points: the point that it changes places with"),
  temperature: z.number().optional().describe("add-point, °C"),
  direction: z.enum(["rising", "falling"]).optional().describe("add-point: from which side it is to be reached"),
  where: z.enum(["cheapest", "next", "last"]).optional().describe("add-point"),
  hold: z.boolean().optional().describe("break: the source holds its temperature, or is switched off"),
  seconds: z.number().positive().optional().describe("break: how long it may hold"),
  role: z.enum(["reference", "readout", "source"]).optional().describe("replace-kit: which entry"),
  entry: z.string().max(50_000).optional().describe("replace-kit: the entry that takes its place, YAML or JSON"),
  earlier: z.enum(["keep", "flag"]).optional().describe("replace-kit: what becomes of points measured before"),
  value: z.number().optional().describe("record-check: what the check thermometer shows, °C"),
  channel: z.string().max(64).optional().describe("enter-reading, withdraw-reading: which channel"),
  typed: z
    .string()
    .max(60)
    .optional()
    .describe("enter-reading: the digits as typed, decimal comma or point; confirm-set-point: what was set, °C"),
  ago: z.number().nonnegative().optional().describe("enter-reading: how long ago it was seen, s"),
  time: z.number().optional().describe("withdraw-reading: when it was seen, s on the run's clock"),
  by: z.string().trim().min(1).max(120).optional(),
});

/** Who presses stop. */
export const stopRunSchema = z.object({ by: z.string().trim().min(1).max(120).optional() });

export type StopRun = z.infer<typeof stopRunSchema>;
export type RunView = z.infer<typeof runViewSchema>;
export type Stop = z.infer<typeof stopSchema>;
export type HandView = z.infer<typeof handViewSchema>;
export type RampView = z.infer<typeof rampViewSchema>;
export type SettlingView = z.infer<typeof settlingViewSchema>;
export type Approach = z.infer<typeof approachSchema>;
export type RunMessage = z.infer<typeof runMessageSchema>;
export type RunCommand = z.infer<typeof runCommandSchema>;
export type RunCommandName = (typeof runCommandNames)[number];
