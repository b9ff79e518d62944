import { z } from "zod";
import { questionEntryFields } from "./question-entry.ts";
import { registerEntryFields } from "./register-entry.ts";
import { talkEntryFields } from "./talk-entry.ts";

/**
 * A catalogue entry: what to say to an instrument and how to understand it, as data. An entry holds words and figures
 * only; everything that happens is in this room's code, so an entry can be read, checked and shown before it is used.
 * Without `dialogue` it is one of questions and answers.
 */
const questionEntry = questionEntryFields
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

const registerEntry = registerEntryFields
  .refine((entry) => entry.role !== "source" || (entry.setPoint !== undefined && entry.output !== undefined), {
    error: "a source needs setPoint and output",
    path: ["role"],
  })
  .refine((entry) => entry.role !== "readout" || Object.keys(entry.read).length > 0, {
    error: "a readout needs at least one thing to read",
    path: ["read"],
  });

const talkEntry = talkEntryFields.refine((entry) => Object.keys(entry.read).length > 0, {
  error: "an instrument that only talks needs at least one thing to read",
  path: ["read"],
});

/** Only the dialogue that is meant is checked, so that a complaint speaks of what its author wrote. */
export const instrumentEntrySchema = z.discriminatedUnion("dialogue", [questionEntry, registerEntry, talkEntry]);

export type InstrumentEntry = z.infer<typeof instrumentEntrySchema>;
export type InstrumentEntryInput = z.input<typeof instrumentEntrySchema>;
