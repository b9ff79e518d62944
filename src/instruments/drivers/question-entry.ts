import { z } from "zod";
import { channelUnits } from "#quantity";
import { commonFields, inputsSchema, message, paceFields, readingFields, roles } from "./entry-fields.ts";
import { lineTemplate } from "./template.ts";
import { lineTransports } from "./transport.ts";

const placeholder = (name: string, text: string) => text.includes(`{${name}}`);
const query = message.refine((text) => text.includes("?"), { error: "a question holds a '?'" });
/** An author's own dialect may ask without a question mark; the words of the open standards may not. */
const ask = message;

const readFunction = z
  .strictObject({
    ask: ask.describe("question; {input} stands for the number of the input"),
    ...readingFields,
    shape: message
      .refine((text) => lineTemplate(text) !== null, {
        error: "a shape holds one {value}, at most one {input}, and {text} for what does not matter",
      })
      .optional()
      .describe("the answer as it looks, where it is more than a number: '{value} C', '{text},{value}'"),
    inputs: inputsSchema,
    timeout: z.number().positive().max(600).optional().describe("longest wait for this answer, s"),
  })
  .refine((value) => value.shape !== undefined || value.ask.includes("?"), {
    error: "a question holds a '?'; one that does not needs the shape of its answer",
    path: ["ask"],
  })
  .refine((value) => value.inputs.first === value.inputs.last || placeholder("input", value.ask), {
    error: "with more than one input the question must hold {input}",
  });

const probeQuestion = z
  .strictObject({
    ask: query.describe("question; {input} stands for the number of the input"),
    says: z
      .enum(["data-sheet-hex", "data-sheet-base64", "serial"])
      .describe("what comes: the memory's bytes in hexadecimal or base 64, or the serial number as text"),
    none: z
      .string()
      .trim()
      .max(40)
      .describe("what is answered where nothing is plugged in, or the probe has no memory; capitals do not matter"),
    inputs: inputsSchema,
    timeout: z.number().positive().max(60).optional().describe("longest wait for this answer, s"),
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

/** An instrument that answers a line to a line: IEEE 488.2, SCPI, or an author's own words. */
export const questionEntryFields = z.strictObject({
  ...commonFields,
  ...paceFields,
  dialogue: z.literal("questions").optional(),
  role: z.enum(roles),
  transport: lineTransports,
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
    .partialRecord(z.enum(channelUnits), readFunction)
    .refine((read) => read.contact === undefined || read.contact.contact !== undefined, {
      error: "a contact is read as a resistance: say which is open and which is closed",
      path: ["contact", "contact"],
    })
    .default({})
    .describe("what can be read, by the unit of the channel"),
  probe: probeQuestion
    .optional()
    .describe(
      "how the instrument says which probe is plugged in: the data sheet (TEDS) in its plug, or its serial number",
    ),
  setPoint: valueSetting.optional().describe("commanding a temperature in °C"),
  rampRate: valueSetting
    .optional()
    .describe("the source's own ramp rate, K/min; its maximum is sent when the source is to go as fast as it can"),
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

export type QuestionEntry = z.infer<typeof questionEntryFields>;
export type ReadFunction = z.infer<typeof readFunction>;
export type ProbeQuestion = z.infer<typeof probeQuestion>;
export type ValueSetting = z.infer<typeof valueSetting>;
