import { z } from "zod";
import { signalUnits } from "#quantity";

/**
 * A catalogue entry: what to say to an instrument and how to understand it, as data. An entry holds words and figures
 * only; everything that happens is in this room's code, so an entry can be read, checked and shown before it is used.
 */
const message = z
  .string()
  .trim()
  .min(1)
  .max(200)
  .regex(/^[\x20-\x7e]+$/, "printable ASCII only; the end of the line is sent by itself");

/** Units in which an instrument may answer, and what they become: decimal point moved, nothing else. */
export const answerUnits = ["Ω", "kΩ", "V", "mV", "A", "mA", "°C"] as const;
export type AnswerUnit = (typeof answerUnits)[number];

const placeholder = (name: string, text: string) => text.includes(`{${name}}`);

const query = message.refine((text) => text.includes("?"), { error: "a question holds a '?'" });

const readFunction = z
  .strictObject({
    ask: query.describe("question; {input} stands for the number of the input"),
    answers: z.enum(answerUnits).describe("unit of the number that comes back"),
    inputs: z
      .strictObject({ first: z.int().min(0), last: z.int().min(0) })
      .refine((value) => value.first <= value.last, { error: "first must not be greater than last" })
      .describe("numbers of the inputs that can be asked"),
    timeout: z.number().positive().max(600).optional().describe("longest wait for this answer, s"),
  })
  .refine((value) => value.inputs.first === value.inputs.last || placeholder("input", value.ask), {
    error: "with more than one input the question must hold {input}",
  });

const valueReadBack = z.strictObject({
  ask: query,
  within: z.number().nonnegative().describe("largest difference between what was sent and what is read back"),
});

const valueSetting = z
  .strictObject({
    tell: message.describe("command; {value} stands for the value"),
    decimals: z.int().min(0).max(9).default(3).describe("decimals that are sent"),
    minimum: z.number(),
    maximum: z.number(),
    readBack: valueReadBack,
  })
  .refine((value) => placeholder("value", value.tell), { error: "tell must hold {value}" })
  .refine((value) => value.minimum < value.maximum, { error: "minimum must be less than maximum" });

const entryFields = z.strictObject({
  entry: z
    .string()
    .regex(/^[a-z0-9][a-z0-9-]*$/, "small letters, digits and '-' only")
    .describe("name of the entry; also the name of its file"),
  revision: z.int().min(1),
  title: z.string().trim().min(1),
  notes: z
    .string()
    .trim()
    .min(1)
    .optional()
    .describe("for people: what the words are taken from, what to set on the instrument"),
  role: z.enum(["readout", "source", "item"]),
  transport: z.strictObject({ kind: z.literal("tcp-socket"), end: z.enum(["lf", "crlf"]).default("lf") }),
  timeout: z.number().positive().max(600).default(2).describe("longest wait for an answer, s"),
  retries: z
    .int()
    .min(0)
    .max(10)
    .default(1)
    .describe("how often a question is asked again after a garbled or missing answer"),
  identify: z.strictObject({
    ask: query.default("*IDN?"),
    expect: z
      .string()
      .min(1)
      .optional()
      .describe("text that the answer must hold, capitals or not; left out: any instrument"),
  }),
  onConnect: z.array(message).default([]).describe("commands sent each time a connection has been made"),
  errors: z
    .strictObject({ ask: query, none: z.int().default(0) })
    .optional()
    .describe('how to read the instrument\'s error queue: <code>,"<text>", and the code that says that it is empty'),
  read: z
    .partialRecord(z.enum(signalUnits), readFunction)
    .default({})
    .describe("what can be read, by the unit of the channel"),
  setPoint: valueSetting.optional().describe("commanding a temperature in °C"),
  output: z
    .strictObject({
      on: message,
      off: message,
      readBack: z.strictObject({ ask: query, on: message, off: message }),
    })
    .optional()
    .describe("switching the heat source's output"),
  adjust: z
    .strictObject({
      unlock: message.optional().describe("sent first"),
      zero: valueSetting.describe("change of the indication at the lower end of the range, K, since the works setting"),
      span: valueSetting.describe("further change over the whole range, K, since the works setting"),
      lock: message.optional().describe("sent last, also when something went wrong"),
    })
    .optional()
    .describe("adjusting an item through its own maintenance channel"),
});

/** A whole entry; one that cannot do what its role is for is refused. */
export const instrumentEntrySchema = entryFields
  .refine((entry) => entry.role !== "source" || (entry.setPoint !== undefined && entry.output !== undefined), {
    error: "a source needs setPoint and output",
    path: ["role"],
  })
  .refine((entry) => entry.role !== "readout" || Object.keys(entry.read).length > 0, {
    error: "a readout needs at least one thing to read",
    path: ["read"],
  })
  .refine((entry) => entry.role !== "item" || entry.adjust !== undefined, {
    error: "an item's maintenance channel needs adjust",
    path: ["role"],
  });

export type InstrumentEntry = z.infer<typeof instrumentEntrySchema>;
export type InstrumentEntryInput = z.input<typeof instrumentEntrySchema>;
export type ReadFunction = z.infer<typeof readFunction>;
export type ValueSetting = z.infer<typeof valueSetting>;
