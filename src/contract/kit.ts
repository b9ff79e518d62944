import { z } from "zod";
import { identifierSchema } from "#calibration";

const kind = z.enum(["reference", "readout", "source"]);
const word = z.string().trim().min(1).max(200);
const day = z.iso.date();

/** `soon`: due within thirty days. `none`: an entry of this kind has no calibration of its own. */
const dueState = z.enum(["valid", "soon", "past", "none"]);

export const kitEntrySchema = z.object({
  kind,
  id: z.string(),
  description: z.string(),
  model: z.string().nullable(),
  serial: z.string(),
  dataSheet: z.string().nullable().describe("what its electronic data sheet says it is"),
  revision: z.int().describe("the newest"),
  certificate: z.string().nullable(),
  due: z.string().nullable().describe("day"),
  state: dueState,
});

export const kitAnswerSchema = z.object({
  today: z.string().describe("the station's day, by which things are due"),
  entries: z.array(kitEntrySchema),
  readouts: z
    .array(z.object({ name: z.string(), at: z.string() }))
    .describe("kept readouts that can say which probe is plugged in"),
});

const fact = z.object({ label: z.string(), text: z.string() });
const named = z.object({ name: z.string(), value: z.string().describe("with all its digits") });

const difference = z.object({
  path: z.string(),
  before: z.string().nullable(),
  after: z.string().nullable(),
  from: z.int().describe("place of the first sign that differs, from 0"),
});

const effect = z.object({ temperature: z.number(), kelvin: z.number() });

/** A kit entry with everything that was ever recorded of it, the newest revision first. */
export const kitDetailSchema = z.object({
  entry: kitEntrySchema,
  facts: z.array(fact),
  coefficients: z.array(named),
  uncertainty: z
    .array(z.object({ temperature: z.number(), U: z.number() }))
    .describe("expanded uncertainty of its calibration over its range, K"),
  k: z.number().nullable(),
  check: z
    .object({ holds: z.boolean(), words: z.string() })
    .nullable()
    .describe("coefficients against the check values of the report; null where there are none"),
  revisions: z.array(
    z.object({
      revision: z.int(),
      saved: z.string().describe("UTC"),
      author: z.string(),
      reason: z.string().nullable(),
      certificate: z.string().nullable(),
      calibrated: z.string().nullable(),
      due: z.string().nullable(),
      differences: z.array(difference).describe("what it changed of the revision before; empty for the first"),
      effects: z.array(effect).describe("what new coefficients changed, K"),
    }),
  ),
});

const table = z.object({
  title: z.string(),
  columns: z.array(z.object({ label: z.string(), unit: z.string() })),
  rows: z.array(z.array(z.string())),
});

/** What a data sheet, a certificate or a label said of a probe. */
export const broughtItemSchema = z.object({
  item: z.int().describe("its place in what was brought, from 0"),
  source: z.string().describe("what it was"),
  facts: z.array(fact),
  coefficients: z.array(named),
  tables: z.array(table),
});

export const broughtSchema = z.object({
  brought: z.string().describe("name by which the station knows it, until others push it out"),
  items: z.array(broughtItemSchema).min(1),
});

/** What is plugged into a readout, by its own word. */
export const pluggedSchema = z.object({
  inputs: z.array(
    z.object({
      input: z.int(),
      said: z.string().nullable().describe("null where nothing is plugged in, or it says nothing of itself"),
      known: z.string().nullable().describe("the kit entry that it is"),
      brought: broughtSchema.nullable().describe("its data sheet, as if it had been brought"),
      why: z.string().nullable().describe("why it could not be found out"),
    }),
  ),
});

/** What a person adds. */
export const kitAnswersSchema = z.strictObject({
  id: identifierSchema.optional(),
  description: word.optional(),
  serial: word.optional(),
  certificate: word.optional(),
  laboratory: word.optional(),
  date: day.optional(),
  due: day.optional(),
  uncertainty: z.number().positive().max(50).optional().describe("K"),
  k: z.number().min(1).max(5).optional(),
  minimum: z.number().optional().describe("°C"),
  maximum: z.number().optional().describe("°C"),
  driftPerYear: z.number().min(0).max(50).optional().describe("K"),
});

export const proposalQuestionSchema = z.object({
  brought: z.string().max(80),
  item: z.int().min(0).max(100).default(0),
  answers: kitAnswersSchema.default({}),
  is: z
    .string()
    .max(200)
    .nullable()
    .optional()
    .describe("the kit entry that it is; null for a new one; found by its identity where nothing is said"),
});

/** What would be recorded, what is missing, what was checked, what would change. Nothing is recorded by asking. */
export const proposalSchema = z.object({
  known: z.object({ id: z.string(), revision: z.int(), kind, description: z.string() }).nullable(),
  knownBy: z.enum(["data-sheet", "serial", "name"]).nullable(),
  candidates: z.array(z.object({ id: z.string(), kind, description: z.string(), serial: z.string() })),
  missing: z.array(z.object({ field: z.string(), words: z.string() })),
  checks: z.array(z.object({ what: z.string(), state: z.enum(["holds", "caution", "fails"]), words: z.string() })),
  differences: z.array(difference),
  effects: z.array(effect),
  notes: z.array(z.string()),
  unchanged: z.boolean(),
  approvable: z.boolean(),
});

export const approvalSchema = proposalQuestionSchema.extend({ author: word, reason: word });

/** Kit of a job of which the records have something newer. */
export const newerKitSchema = z.object({
  newer: z.array(
    z.object({
      kind,
      id: z.string(),
      jobRevision: z.int(),
      revision: z.int(),
      words: z.string().describe("what is other, in a sentence"),
      differences: z.array(difference),
    }),
  ),
});

export const takeKitSchema = z.object({ ids: z.array(identifierSchema).min(1).max(3) });

export type KitEntryShown = z.infer<typeof kitEntrySchema>;
export type KitAnswer = z.infer<typeof kitAnswerSchema>;
export type KitDetail = z.infer<typeof kitDetailSchema>;
export type BroughtAnswer = z.infer<typeof broughtSchema>;
export type PluggedAnswer = z.infer<typeof pluggedSchema>;
export type KitAnswers = z.infer<typeof kitAnswersSchema>;
export type ProposalQuestion = z.input<typeof proposalQuestionSchema>;
export type ProposalAnswer = z.infer<typeof proposalSchema>;
export type Approval = z.input<typeof approvalSchema>;
export type NewerKit = z.infer<typeof newerKitSchema>;
