import { z } from "zod";
import { channelUnits } from "#quantity";
import { historySchema } from "./history.ts";
import { identifierSchema, itemSchema } from "./item.ts";
import { kitSchema } from "./kit.ts";
import { limitComplaints, limitsSchema } from "./limits.ts";
import { agreedIntervalSchema, capabilitySchema } from "./laboratory.ts";
import { procedureSchema } from "./procedure.ts";
import { switchComplaints, withSweeps } from "./switch-job.ts";

const text = z.string().trim().min(1);

/** A person or organisation as it stands on a certificate. */
const partySchema = z.strictObject({
  name: text,
  address: z.array(text).min(1).describe("lines of the address"),
  contact: text.optional(),
  country: z
    .string()
    .regex(/^[A-Z]{2}$/, "two capital letters of ISO 3166-1, for example GB")
    .optional()
    .describe("country code, for the machine-readable certificate"),
});

/** A channel that an instrument reads: which one, which of its inputs, in which unit. */
const wiredChannelSchema = z.strictObject({
  typed: z.literal(false).optional(),
  instrument: identifierSchema,
  input: z.int().min(1).default(1),
  unit: z.enum(channelUnits),
});

/** A channel that a person reads and types. */
const typedChannelSchema = z.strictObject({
  typed: z.literal(true).describe("a person reads it and types it in"),
  unit: z.enum(channelUnits),
  resolution: z
    .number()
    .positive()
    .optional()
    .describe("smallest step that is read, in unit: a digit, or what the eye makes of a division"),
  display: z
    .enum(["readout", "item", "source"])
    .optional()
    .describe("whose display is read; an indication is the item's own, anything else the kit's readout's"),
});

/** Where a channel of the run is read: on an instrument, or by a person. */
export const channelSchema = z.discriminatedUnion("typed", [wiredChannelSchema, typedChannelSchema]);

/** An instrument on the bench: which catalogue entry describes it, and where it is. */
export const benchInstrumentSchema = z.strictObject({
  id: identifierSchema,
  entry: identifierSchema.describe("name of a file in catalog/instruments, without its ending"),
  at: z
    .string()
    .regex(
      /^(simulated|tcp:\/\/[^\s:]+:\d{1,5}|serial:[^\s#]+|usbtmc:[^\s#]+|modbus-tcp:\/\/[^\s:]+:\d{1,5}#\d{1,3}|modbus-rtu:[^\s#]+#\d{1,3})$/,
      "'simulated', 'tcp://host:port', 'serial:/dev/ttyUSB0', 'serial:any', 'usbtmc:/dev/usbtmc0', 'modbus-tcp://host:502#1' or 'modbus-rtu:/dev/ttyUSB0#1'",
    )
    .describe("where it is"),
  role: z.enum(["readout", "source", "item"]),
});

export const benchSchema = z.strictObject({
  instruments: z.array(benchInstrumentSchema).default([]).describe("none where everything is read and set by hand"),
  channels: z.record(identifierSchema, channelSchema),
  source: z
    .literal("by-hand")
    .optional()
    .describe("the heat source has no wire: a person sets its set point, confirms it, and switches it off"),
  simulation: z
    .record(z.string(), z.unknown())
    .optional()
    .describe("what the simulated bench is made of; see the bench schema"),
});

const jobFields = z.strictObject({
  job: identifierSchema.describe("number of the job"),
  title: text,
  certificate: identifierSchema.optional().describe("number of the certificate; made from the job's number if absent"),
  laboratory: partySchema.extend({
    accreditation: text
      .optional()
      .describe("accreditation in words; stands on a certificate only where all its results lie within the capability"),
    capability: capabilitySchema.optional(),
  }),
  customer: partySchema,
  place: text.describe("where the work is done"),
  technician: text,
  authorisedBy: text.optional().describe("who authorises the certificate"),
  conditions: z.strictObject({
    ambientTemperature: z.strictObject({ value: z.number(), halfWidth: z.number().nonnegative() }),
    relativeHumidity: z
      .strictObject({ value: z.number().min(0).max(100), halfWidth: z.number().nonnegative() })
      .optional(),
    remarks: text.optional(),
  }),
  items: z.array(itemSchema).min(1),
  kit: kitSchema,
  procedure: procedureSchema,
  limits: limitsSchema.optional().describe("the job's own limits; what kit and items impose holds beside them"),
  bench: benchSchema,
  interval: agreedIntervalSchema.optional(),
  history: z
    .array(historySchema)
    .optional()
    .describe("errors found earlier, from which the global risks of the decision rule follow"),
  rehearsal: z.boolean().default(false).describe("a rehearsal on invented things; its certificate says so"),
});

/** The fields of a job, and what must hold between switches and their procedure. The points of a ramp are worked out here. */
export const jobSchema = jobFields
  .superRefine((job, context) => {
    for (const { path, message } of [...switchComplaints(job), ...limitComplaints(job)])
      context.addIssue({ code: "custom", path: [...path], message });
  })
  .transform((job) => withSweeps(job));

/** A job as the rest of the program uses it: checked, with every default written out. */
export type Job = z.infer<typeof jobSchema>;
/** A job as a person may write it. */
export type JobInput = z.input<typeof jobSchema>;
export type Bench = z.infer<typeof benchSchema>;
export type BenchInstrument = z.infer<typeof benchInstrumentSchema>;
export type Channel = z.infer<typeof channelSchema>;
export type WiredChannel = z.infer<typeof wiredChannelSchema>;
export type Party = z.infer<typeof partySchema>;
