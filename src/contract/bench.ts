import { z } from "zod";
import { identifierSchema } from "#calibration";

const role = z.enum(["readout", "source", "item"]);
const transport = z.enum(["tcp-socket", "serial", "usb-tmc", "modbus-tcp", "modbus-rtu"]);
const fault = z.object({ code: z.string(), message: z.string().describe("what happened and what to check") });
const address = z.string().trim().min(1).max(256).describe("tcp://HOST:PORT, serial:PORT and the like");
const entryName = identifierSchema.describe("entry of the catalogue");

/** Who is to be asked: an entry at an address. */
export const instrumentAtSchema = z.object({ entry: entryName, at: address });

/** Who is to be asked, and on which input; the first of each unit where nothing is said. */
export const instrumentQuestionSchema = instrumentAtSchema.extend({
  unit: z.string().max(16).optional(),
  input: z.int().min(0).max(9999).optional(),
});

export const instrumentValueSchema = z.object({
  unit: z.string(),
  input: z.int(),
  value: z.number().nullable(),
  wire: z.string().nullable().describe("the digits as they came, in the instrument's own unit"),
  fault: fault.nullable(),
});

/** A readout or heat source of the kit's register. */
const kitEntry = z.object({
  entry: z.string(),
  kind: z.enum(["readout", "source"]),
  description: z.string(),
  serial: z.string(),
  due: z.string().nullable(),
});

export const keptInstrumentSchema = z.object({
  name: identifierSchema,
  entry: z.string(),
  title: z.string().nullable().describe("null where the catalogue has no such entry any more"),
  role,
  at: z.string(),
  said: z.string().describe("what it said of itself when it last answered"),
  answered: z.string().describe("when that was, UTC"),
  usedBy: z.string().nullable().describe("the run that has it now"),
  line: z.string().describe("line for bench.instruments of a job file"),
  kit: kitEntry.nullable().describe("the kit entry of the same name and kind"),
});

/** What there is to set up a bench with. */
export const benchSchema = z.object({
  entries: z.array(
    z.object({
      entry: z.string(),
      title: z.string(),
      notes: z.string().nullable(),
      role,
      dialogue: z.enum(["questions", "registers", "talk-only"]),
      transports: z.array(transport),
      reads: z.array(z.object({ unit: z.string(), first: z.int(), last: z.int() })),
    }),
  ),
  ports: z.array(
    z.object({
      path: z.string(),
      about: z.string().nullable(),
      usedBy: z.string().nullable(),
      addresses: z
        .array(z.object({ transport, at: address }))
        .describe("how the port is written as an address, by what is spoken there"),
    }),
  ),
  earlier: z
    .array(
      z.object({
        entry: z.string(),
        at: z.string(),
        transport: transport.nullable().describe("null where the job's address is none"),
        job: z.string(),
        usedBy: z.string().nullable(),
      }),
    )
    .describe("addresses that jobs name"),
  forms: z.record(transport, z.string()).describe("how an address of each kind is written"),
  instruments: z.array(keptInstrumentSchema),
  kit: z.array(kitEntry).describe("kit entries that an instrument may be; it is kept under the name of its own"),
});

/** What came of asking an instrument what it is and reading it once. */
export const instrumentTrialSchema = z.object({
  said: z.string().nullable(),
  fault: fault.nullable(),
  values: z.array(instrumentValueSchema),
  transcript: z.array(
    z.object({
      at: z.number().describe("s"),
      direction: z.enum(["opened", "sent", "received", "discarded", "closed"]),
      text: z.string(),
    }),
  ),
});

/** A line of the stream of live values. */
export const liveMessageSchema = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("said"), said: z.string().nullable(), fault: fault.nullable() }),
  z.object({ kind: z.literal("values"), values: z.array(instrumentValueSchema) }),
  z.object({ kind: z.literal("ended"), why: z.string() }),
]);

export const findInstrumentSchema = z.object({
  entry: entryName,
  unit: z.int().min(1).max(247).default(1).describe("unit on a Modbus line"),
});

/** What each serial port answered. */
export const foundSchema = z.object({
  ports: z.array(
    z.object({
      at: z.string(),
      about: z.string().nullable(),
      said: z.string().nullable(),
      fault: fault.nullable(),
    }),
  ),
});

export const keepInstrumentSchema = instrumentAtSchema.extend({ name: identifierSchema });

/** Whether a kept instrument is still where it was. `another`: something answers there that says something else of itself. */
export const stillThereSchema = z.object({
  state: z.enum(["answers", "another", "silent"]),
  said: z.string().nullable(),
  fault: fault.nullable(),
});

/** Whether the instruments of a job are where it says, and which of those that are kept could be in their place. */
export const jobBenchSchema = z.object({
  instruments: z
    .array(
      z.object({
        id: z.string(),
        entry: z.string(),
        title: z.string().nullable(),
        role,
        at: z.string(),
        state: z.enum(["answers", "silent", "in-use"]),
        said: z.string().nullable(),
        fault: fault.nullable(),
        usedBy: z.string().nullable(),
        kept: z
          .array(
            z.object({
              name: z.string(),
              at: z.string(),
              state: z.enum(["answers", "another", "silent", "in-use"]),
              said: z.string().describe("what it says now, or said when it last answered"),
            }),
          )
          .describe("kept instruments of the same entry; asked only where the job's own does not answer"),
      }),
    )
    .describe("empty where the job's bench is simulated"),
});

export const switchedOffSchema = z.object({ off: z.boolean(), fault: fault.nullable() });

export type BenchAnswer = z.infer<typeof benchSchema>;
export type InstrumentAt = z.infer<typeof instrumentAtSchema>;
export type InstrumentQuestion = z.infer<typeof instrumentQuestionSchema>;
export type InstrumentValue = z.infer<typeof instrumentValueSchema>;
export type InstrumentTrial = z.infer<typeof instrumentTrialSchema>;
export type KeptInstrument = z.infer<typeof keptInstrumentSchema>;
export type LiveMessage = z.infer<typeof liveMessageSchema>;
export type FindInstrument = z.input<typeof findInstrumentSchema>;
export type Found = z.infer<typeof foundSchema>;
export type KeepInstrument = z.infer<typeof keepInstrumentSchema>;
export type StillThere = z.infer<typeof stillThereSchema>;
export type JobBench = z.infer<typeof jobBenchSchema>;
export type SwitchedOff = z.infer<typeof switchedOffSchema>;
