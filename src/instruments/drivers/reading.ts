import { failure, success, type Outcome } from "#fault";
import type { SignalUnit } from "#quantity";
import { parseNumericReply, shiftDecimal } from "../wire/numeric-reply.ts";
import type { AnswerUnit, InstrumentEntry, ReadFunction } from "./entry.ts";

/** How far the decimal point moves from the instrument's unit to the channel's. A pair that is not here does not exist. */
const shifts: Readonly<Record<SignalUnit, Partial<Record<AnswerUnit, number>>>> = {
  Ω: { Ω: 0, kΩ: 3 },
  mV: { mV: 0, V: 3 },
  mA: { mA: 0, A: 3 },
  "°C": { "°C": 0 },
};

export interface ReadingQuestion {
  readonly text: string;
  /** Longest wait, s. */
  readonly timeout: number;
  readonly shift: number;
}

/** The question that reads an input in a unit; a failure says what the entry lacks, so that the job can be mended. */
export const readingQuestion = (entry: InstrumentEntry, unit: SignalUnit, input: number): Outcome<ReadingQuestion> => {
  const known: ReadFunction | undefined = entry.read[unit];
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
  const shift = shifts[unit][known.answers];
  if (shift === undefined) {
    return failure(
      "instrument.entry-invalid",
      `Catalogue entry "${entry.entry}" answers ${known.answers} where ${unit} is wanted, and there is no way from one to the other. Correct read.${unit}.answers.`,
    );
  }
  return success({
    text: known.ask.replaceAll("{input}", String(input)),
    timeout: known.timeout ?? entry.timeout,
    shift,
  });
};

/** A reading understood: in the channel's unit, with the digits that came over the wire, in the instrument's own unit. */
export interface UnderstoodReading {
  readonly value: number;
  readonly wire: string;
}

/** What the answer to a reading's question says. `malformed` may be asked again; the others are what the instrument means. */
export type ReadingMeaning =
  | { readonly kind: "reading"; readonly reading: UnderstoodReading }
  | { readonly kind: "overload"; readonly sign: 1 | -1; readonly wire: string }
  | { readonly kind: "no-value"; readonly wire: string }
  | { readonly kind: "malformed"; readonly wire: string };

export const understandReading = (question: ReadingQuestion, line: string): ReadingMeaning => {
  const reply = parseNumericReply(line);
  const wire = reply.digits;
  if (reply.kind === "malformed") return { kind: "malformed", wire };
  if (reply.kind === "infinity") return { kind: "overload", sign: reply.sign, wire };
  if (reply.kind === "not-a-number") return { kind: "no-value", wire };
  return { kind: "reading", reading: { value: shiftDecimal(wire, question.shift), wire } };
};
