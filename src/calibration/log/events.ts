import { z } from "zod";
import { ruleQuantities } from "#settling";
import { channelUnits } from "#quantity";
import { identifierSchema } from "../job/item.ts";
import { jobSchema } from "../job/job.ts";
import { readoutSchema, referenceSchema, sourceSchema } from "../job/kit.ts";
import { directions, passes } from "../job/procedure.ts";
import { sensorSchema } from "../job/sensor.ts";

/**
 * The run log: JSON Lines, one event a line, past tense. `n` counts the lines from 0 without a gap; `at` is seconds on
 * the run's own clock since it was opened (never falling). Line 0 freezes everything that evaluation needs.
 */
export const logFormat = "dwellpoint-run/1";

const place = { n: z.int().nonnegative(), at: z.number().nonnegative() };
const text = z.string().min(1);
const pass = z.enum(passes);
const point = z
  .int()
  .nonnegative()
  .describe("index into procedure.points; the repeat of the first point comes after them, then added points");

/** How far forecasts were off: ln(real time left / forecast), as a running mean. */
const learntRatioSchema = z.strictObject({
  count: z.int().nonnegative(),
  mean: z.number(),
  squares: z.number().nonnegative(),
});

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
  overridden: z
    .array(z.strictObject({ code: text, message: text, reason: text, by: text }))
    .optional()
    .describe("what the plan refuses and a person runs all the same, with reason and name"),
  learnt: z
    .record(identifierSchema, z.strictObject({ way: learntRatioSchema, rest: learntRatioSchema }))
    .optional()
    .describe("what earlier runs of the same items on the same source taught about the time left, by item"),
});

/** Times are seconds on the run's clock; `wire` holds the digits as they came, where there was a wire. */
export const readingsTakenSchema = z
  .strictObject({
    kind: z.literal("readings-taken"),
    ...place,
    channel: identifierSchema,
    unit: z.enum(channelUnits),
    times: z.array(z.number().nonnegative()).min(1),
    values: z.array(z.number()).min(1),
    wire: z.array(z.string()).optional().describe("the digits as they came over the wire, or as a person typed them"),
    by: text.optional().describe("who read it and typed it in, where no wire brought it"),
    confirmed: z.literal(true).optional().describe("it was questioned, and confirmed as read"),
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
  U: z.number().nonnegative().optional().describe("expanded uncertainty of the estimate, 95 %, K"),
  typed: z.int().min(3).optional().describe("it was judged on so many readings typed by a person"),
  judgement: z
    .enum(["own", "both", "rules"])
    .optional()
    .describe("what bound the decision; where nothing is said, our own judgement"),
  ownReady: z
    .boolean()
    .optional()
    .describe("whether our own judgement held at that moment, where rules were asked for"),
  rules: z
    .array(
      z.strictObject({
        rule: z.enum(["soak", "spread", "slope"]),
        on: z.enum(ruleQuantities),
        window: z.number().describe("s"),
        value: z.number().nullable().describe("found: s, K or K/min by the rule"),
        limit: z.number(),
        holds: z.boolean(),
      }),
    )
    .optional()
    .describe("the rules of the written procedure as they stood"),
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
    by: text.optional(),
  }),
  z
    .strictObject({
      kind: z.literal("reading-asked"),
      ...place,
      pass: pass.optional(),
      point: point.optional(),
      channels: z.array(identifierSchema).min(1),
    })
    .describe("a person was asked to read these channels"),
  z
    .strictObject({
      kind: z.literal("reading-questioned"),
      ...place,
      channel: identifierSchema,
      time: z.number().nonnegative(),
      value: z.number(),
      typed: text.describe("as it was typed"),
      question: text,
      by: text,
    })
    .describe("a typed reading that is not likely: not taken until it is confirmed as read, or typed again"),
  z
    .strictObject({
      kind: z.literal("set-point-confirmed"),
      ...place,
      temperature: z.number(),
      by: text,
    })
    .describe("a person has set the heat source to it, and switched it on"),
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
    item: identifierSchema
      .optional()
      .describe("the item whose window it is, where each is measured as it becomes ready"),
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
  z.strictObject({
    kind: z.literal("coefficients-loaded"),
    ...place,
    item: identifierSchema,
    sensor: sensorSchema.describe("the item's sensor from here on; signals before keep the old one"),
    reason: text,
    by: text,
  }),
  z.strictObject({
    kind: z.literal("point-added"),
    ...place,
    pass,
    point,
    temperature: z.number(),
    direction: z.enum(directions).optional(),
    before: point.nullable().describe("the point of the pass that it is visited before; null for after the last"),
    reason: text,
    by: text,
  }),
  z
    .strictObject({
      kind: z.literal("points-swapped"),
      ...place,
      pass,
      point,
      with: point,
      reason: text,
      by: text,
    })
    .describe("two points still to come change places"),
  z
    .strictObject({
      kind: z.literal("kit-replaced"),
      ...place,
      reference: referenceSchema.optional(),
      readout: readoutSchema.optional(),
      source: sourceSchema.optional(),
      earlier: z
        .enum(["keep", "flag"])
        .describe("whether points measured with what was replaced stand, or are flagged until they are repeated"),
      reason: text,
      by: text,
    })
    .refine(
      (event) => [event.reference, event.readout, event.source].filter((entry) => entry !== undefined).length === 1,
      { error: "one kit entry is replaced at a time: reference, readout or source" },
    )
    .describe("from here on this entry is used; what was read before was read with the one before"),
  z.strictObject({
    kind: z.literal("break-begun"),
    ...place,
    hold: z.boolean().describe("the source holds its temperature, or is switched off"),
    until: z.number().nullable().describe("when the source is switched off because nobody came back, s"),
    by: text,
  }),
  z
    .strictObject({
      kind: z.literal("source-lost"),
      ...place,
      setPoint: z.number().nullable().describe("what it was last sent to, °C"),
      output: z.boolean().describe("how its output was last switched"),
      temperature: z.number().nullable().describe("what its own sensor read last, °C"),
      seen: z.number().nullable().describe("when that was, s"),
      reason: text,
    })
    .describe("contact with the heat source was lost; how it was left, as far as is known"),
  z
    .strictObject({
      kind: z.literal("source-found"),
      ...place,
      setPoint: z.number().nullable().describe("by its own word, °C; null where it cannot be asked"),
      output: z.boolean().nullable(),
      by: text,
    })
    .describe("contact with the heat source is back, and it was asked how it stands before the run went on"),
  z
    .strictObject({
      kind: z.literal("set-point-stepped"),
      ...place,
      pass: pass.optional(),
      point: point.optional(),
      temperature: z.number(),
    })
    .describe("a step on the way to a point, where a limit holds the way back and the source has no ramp of its own"),
  z.strictObject({ kind: z.literal("break-overrun"), ...place, reason: text }),
  z.strictObject({
    kind: z.literal("check-begun"),
    ...place,
    temperature: z.number().describe("where the reference is checked, °C"),
    by: text,
  }),
  z.strictObject({
    kind: z.literal("reference-placed"),
    ...place,
    where: z.enum(["ice-point", "beside-check-thermometer", "source"]),
    by: text,
  }),
  z.strictObject({ kind: z.literal("check-settled"), ...place, evidence: settlingEvidenceSchema }),
  z.strictObject({
    kind: z.literal("check-measured"),
    ...place,
    from: z.number(),
    to: z.number(),
    typed: z.number().optional().describe("what the check thermometer showed, °C, where no channel reads it"),
    by: text,
  }),
  z.strictObject({ kind: z.literal("check-skipped"), ...place, pass: pass.optional(), reason: text, by: text }),
  z
    .strictObject({
      kind: z.literal("ramp-begun"),
      ...place,
      pass,
      point,
      from: z.number().describe("set point at the beginning, °C"),
      to: z.number().describe("set point at which the ramp ends at the latest, °C"),
      rate: z.number().positive().describe("K/min"),
      by: z.enum(["steps", "source"]),
    })
    .describe("the slow ramp of a switch; the point's approach ended here"),
  z.strictObject({ kind: z.literal("ramp-stepped"), ...place, pass, point, temperature: z.number() }),
  z
    .strictObject({
      kind: z.literal("contact-changed"),
      ...place,
      pass,
      point,
      item: identifierSchema,
      closed: z.boolean().describe("the state after the change"),
      from: z.number().describe("last instant at which the contact was still steady in its old state, s"),
      to: z.number().describe("first instant from which on it stayed in its new state, s"),
      bounces: z.int().nonnegative().describe("how often it fell back in between"),
    })
    .refine((event) => event.from <= event.to, { error: "from must not be after to" }),
  z.strictObject({
    kind: z.literal("ramp-ended"),
    ...place,
    pass,
    point,
    unchanged: z.array(identifierSchema).describe("switches whose contact did not change on this ramp"),
    reached: z.number().nullable().describe("reference at the end, °C"),
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
