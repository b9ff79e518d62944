import { failure, success, type Outcome } from "#fault";
import type { ChannelUnit } from "#quantity";
import { parseNumericReply, shiftDecimal } from "../wire/numeric-reply.ts";
import type { AnswerUnit } from "./entry-fields.ts";
import type { QuestionEntry, ReadFunction } from "./question-entry.ts";
import { lineTemplate } from "./template.ts";

/** How far the decimal point moves from the instrument's unit to the channel's. A pair that is not here does not exist. */
const shifts: Readonly<Partial<Record<ChannelUnit, Partial<Record<AnswerUnit, number>>>>> = {
  Ω: { Ω: 0, kΩ: 3 },
  mV: { mV: 0, V: 3 },
  mA: { mA: 0, A: 3 },
  "°C": { "°C": 0 },
  contact: { Ω: 0, kΩ: 0 },
};

/** What every kind of dialogue says of an input that it can read. */
export interface ReadableInput {
  readonly answers: AnswerUnit;
  readonly inputs: { readonly first: number; readonly last: number };
  readonly range?: { readonly minimum: number; readonly maximum: number } | undefined;
  readonly openAt?: readonly number[] | undefined;
  readonly contact?: ContactLimits | undefined;
}

/** Resistances, in the unit that the instrument answers, below and above which a contact is closed and open. */
interface ContactLimits {
  readonly closedBelow: number;
  readonly openAbove: number;
}

/** What is known of an input before anything is read. */
export interface InputMeaning {
  /** Places by which the decimal point moves to the right. */
  readonly shift: number;
  readonly range: { readonly minimum: number; readonly maximum: number } | null;
  readonly openAt: readonly number[];
  /** Null where the channel measures. */
  readonly contact: ContactLimits | null;
}

/** How an input of an entry is to be understood in a unit; a failure says what the entry lacks, so that the job can be mended. */
export const inputMeaning = <R extends ReadableInput>(
  entry: { readonly entry: string; readonly read: Partial<Record<ChannelUnit, R>> },
  unit: ChannelUnit,
  input: number,
): Outcome<InputMeaning & { readonly known: R }> => {
  const known: R | undefined = entry.read[unit];
  if (known === undefined) {
    const can = Object.keys(entry.read).join(", ") || "nothing";
    return failure(
      "instrument.entry-invalid",
      `Catalogue entry "${entry.entry}" cannot read ${unit}; it reads ${can}. Choose another entry, or add read.${unit} to this one.`,
    );
  }
  const { first, last } = known.inputs;
  if (input < first || input > last) {
    return failure(
      "instrument.entry-invalid",
      `Catalogue entry "${entry.entry}" has no input ${input} for ${unit}; inputs are ${first} to ${last}. Correct the channel's input in the job.`,
    );
  }
  const shift = shifts[unit]?.[known.answers];
  if (shift === undefined) {
    return failure(
      "instrument.entry-invalid",
      `Catalogue entry "${entry.entry}" answers ${known.answers} where ${unit} is wanted, and there is no way from one to the other. Correct read.${unit}.answers.`,
    );
  }
  return success({
    known,
    shift,
    range: known.range ?? null,
    openAt: known.openAt ?? [],
    contact: unit === "contact" ? (known.contact ?? null) : null,
  });
};

export interface ReadingQuestion extends InputMeaning {
  readonly text: string;
  /** Longest wait, s. */
  readonly timeout: number;
  /** The number within the answer; null when there is none. The whole line where no shape is declared. */
  readonly numberIn: (line: string) => string | null;
}

/** The question that reads an input in a unit. */
export const readingQuestion = (entry: QuestionEntry, unit: ChannelUnit, input: number): Outcome<ReadingQuestion> => {
  const meaning = inputMeaning<ReadFunction>(entry, unit, input);
  if (!meaning.ok) return meaning;
  const { known, ...rest } = meaning.value;
  const shape = known.shape === undefined ? null : lineTemplate(known.shape);
  return success({
    ...rest,
    text: known.ask.replaceAll("{input}", String(input)),
    timeout: known.timeout ?? entry.timeout,
    numberIn: (line) => {
      if (shape === null) return line;
      const match = shape.match(line);
      return match === null || (match.input !== null && match.input !== input) ? null : match.value;
    },
  });
};

/** A reading understood: in the channel's unit, with the digits that came over the wire, in the instrument's own unit. */
export interface UnderstoodReading {
  readonly value: number;
  readonly wire: string;
  /** How long ago it was taken, s, where that is known; else it was taken while it was asked for. */
  readonly age?: number;
}

/** What the answer to a reading's question says. `malformed` may be asked again; the others are what the instrument means. */
export type ReadingMeaning =
  | { readonly kind: "reading"; readonly reading: UnderstoodReading }
  | { readonly kind: "overload"; readonly sign: 1 | -1; readonly wire: string }
  | { readonly kind: "no-value"; readonly wire: string }
  | { readonly kind: "between"; readonly limits: ContactLimits; readonly wire: string }
  | { readonly kind: "malformed"; readonly wire: string };

/** A contact's resistance as 0 (open) or 1 (closed); what lies between the limits is neither. */
const understandContact = (limits: ContactLimits, text: string): ReadingMeaning => {
  const reply = parseNumericReply(text);
  const wire = reply.digits;
  if (reply.kind === "malformed") return { kind: "malformed", wire };
  if (reply.kind === "not-a-number") return { kind: "no-value", wire };
  if (reply.kind === "infinity") return { kind: "reading", reading: { value: 0, wire } };
  if (reply.value < limits.closedBelow) return { kind: "reading", reading: { value: 1, wire } };
  if (reply.value > limits.openAbove) return { kind: "reading", reading: { value: 0, wire } };
  return { kind: "between", limits, wire };
};

/** A number as it came, in the instrument's own unit, understood in the channel's. */
export const understandNumber = (meaning: InputMeaning, text: string): ReadingMeaning => {
  if (meaning.contact !== null) return understandContact(meaning.contact, text);
  const reply = parseNumericReply(text);
  const wire = reply.digits;
  if (reply.kind === "malformed") return { kind: "malformed", wire };
  if (reply.kind === "infinity") return { kind: "overload", sign: reply.sign, wire };
  if (reply.kind === "not-a-number") return { kind: "no-value", wire };
  if (meaning.openAt.includes(reply.value)) return { kind: "overload", sign: 1, wire };
  const { range } = meaning;
  if (range !== null && (reply.value < range.minimum || reply.value > range.maximum))
    return { kind: "overload", sign: reply.value > range.maximum ? 1 : -1, wire };
  return { kind: "reading", reading: { value: shiftDecimal(wire, meaning.shift), wire } };
};

export const understandReading = (question: ReadingQuestion, line: string): ReadingMeaning => {
  const text = question.numberIn(line);
  return text === null ? { kind: "malformed", wire: line.trim() } : understandNumber(question, text);
};
