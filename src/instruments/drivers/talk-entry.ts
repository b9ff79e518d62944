import { z } from "zod";
import { signalUnits } from "#quantity";
import { commonFields, inputsSchema, message, readingFields } from "./entry-fields.ts";
import { lineTemplate } from "./template.ts";
import { talkTransports } from "./transport.ts";

const heard = z
  .strictObject({
    line: message
      .refine((text) => lineTemplate(text) !== null, {
        error: "a line holds one {value}, at most one {input}, and {text} for what does not matter",
      })
      .describe("the line as it looks: '{value}', 'CH{input} {value} C', '{text};{value}'"),
    ...readingFields,
    inputs: inputsSchema.default({ first: 1, last: 1 }),
  })
  .refine((value) => value.inputs.first === value.inputs.last || lineTemplate(value.line)?.hasInput === true, {
    error: "with more than one input the line must hold {input}",
  });

/** An instrument that talks unasked, a value a line, and listens to nothing. */
export const talkEntryFields = z.strictObject({
  ...commonFields,
  dialogue: z.literal("talk-only"),
  role: z.literal("readout"),
  transport: talkTransports,
  every: z.number().positive().max(600).default(1).describe("about how often a line comes, s"),
  read: z.partialRecord(z.enum(signalUnits), heard),
});

export type TalkEntry = z.infer<typeof talkEntryFields>;
export type HeardLine = z.infer<typeof heard>;
