import { z } from "zod";

/** Words that an instrument is sent: printable ASCII, without the end of the line. */
export const message = z
  .string()
  .trim()
  .min(1)
  .max(200)
  .regex(/^[\x20-\x7e]+$/, "printable ASCII only; the end of the line is sent by itself");

/** Units in which an instrument may answer, and what they become: decimal point moved, nothing else. */
export const answerUnits = ["Ω", "kΩ", "V", "mV", "A", "mA", "°C"] as const;
export type AnswerUnit = (typeof answerUnits)[number];

export const inputsSchema = z
  .strictObject({ first: z.int().min(0), last: z.int().min(0) })
  .refine((value) => value.first <= value.last, { error: "first must not be greater than last" })
  .describe("numbers of the inputs that can be read");

/** What each kind of dialogue says of what it reads. */
export const readingFields = {
  answers: z.enum(answerUnits).describe("unit of the number that comes"),
  range: z
    .strictObject({ minimum: z.number(), maximum: z.number() })
    .optional()
    .describe(
      "what the instrument can measure, in the unit that it answers; anything outside is not taken for a value",
    ),
  openAt: z
    .array(z.number())
    .optional()
    .describe("numbers by which the instrument says that the circuit is open, in the unit that it answers"),
  contact: z
    .strictObject({
      closedBelow: z.number().positive().describe("a contact of less resistance than this is closed"),
      openAbove: z.number().positive().describe("a contact of more resistance than this is open"),
    })
    .refine(({ closedBelow, openAbove }) => closedBelow < openAbove, {
      error: "closedBelow must be less than openAbove",
    })
    .optional()
    .describe("how a resistance says whether a contact is open or closed, in the unit that it answers"),
};

export const commonFields = {
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
  whenLeft: z
    .strictObject({
      does: z.enum(["holds", "switches-off"]).describe("what a heat source does when nobody speaks to it any more"),
      after: z.number().positive().optional().describe("how long until it switches its output off by itself, s"),
      atDevice: z.string().trim().min(1).optional().describe("how a person makes it safe at the instrument itself"),
    })
    .optional()
    .describe("heat source: what it does by itself when contact with this program is lost"),
  timeout: z.number().positive().max(600).default(2).describe("longest wait for an answer, s"),
  retries: z
    .int()
    .min(0)
    .max(10)
    .default(1)
    .describe("how often a question is asked again after a garbled or missing answer"),
};

/** Pauses for instruments that need time. */
export const paceFields = {
  pauseAfterCommand: z.number().min(0).max(60).default(0).describe("s to wait after a command before anything else"),
  pauseBetween: z.number().min(0).max(10).default(0).describe("s between the end of one exchange and the next"),
};

export const roles = ["readout", "source", "item"] as const;
