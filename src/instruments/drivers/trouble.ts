import { failure, type FaultValue, type Outcome } from "#fault";
import { showText } from "../wire/latin-text.ts";
import type { ErrorEntry } from "../wire/error-entry.ts";
import { calledFirst, calledHere, type Addressee } from "./addressee.ts";

/** What can go wrong with one question, before it is decided whether to ask again. */
export type Trouble =
  | { readonly kind: "unreachable"; readonly reason: string }
  | { readonly kind: "closed"; readonly reason: string }
  | { readonly kind: "silent"; readonly waited: number; readonly half: string }
  | { readonly kind: "garbled"; readonly answer: string; readonly wanted: string }
  | { readonly kind: "reported"; readonly errors: readonly ErrorEntry[] }
  | { readonly kind: "exchanged"; readonly expected: string; readonly found: string }
  | { readonly kind: "interrupted" }
  | { readonly kind: "unsuitable"; readonly reason: string };

const times = (count: number) => (count === 1 ? "" : ` (asked ${count} times)`);
const quote = (text: string) => `"${showText(text)}"`;

const sentence = (
  addressee: Addressee,
  asked: string,
  count: number,
  trouble: Trouble,
): [FaultValue["code"], string] => {
  const { entry } = addressee;
  switch (trouble.kind) {
    case "unreachable":
      return [
        "instrument.unreachable",
        `${calledFirst(addressee)} cannot be reached: ${trouble.reason}. Check that it is switched on, that its cable is in, that the address is right, and that no other program holds it.`,
      ];
    case "closed":
      return [
        "instrument.closed",
        `The connection to ${calledHere(addressee)} at ${addressee.at} was lost at ${quote(asked)}${times(count)}: ${trouble.reason}. Check its power and cable; the next question connects again.`,
      ];
    case "silent":
      return [
        "instrument.timeout",
        trouble.half === ""
          ? `${calledFirst(addressee)} did not answer ${quote(asked)} within ${trouble.waited} s${times(count)}. Check that it is switched on and not busy, that its cable is in, and that catalogue entry "${entry}" suits it.`
          : `${calledFirst(addressee)} began to answer ${quote(asked)} with ${quote(trouble.half)} and stopped; no end of line came within ${trouble.waited} s${times(count)}. Check its cable and its line-end setting.`,
      ];
    case "garbled":
      return [
        "instrument.garbled",
        `${calledFirst(addressee)} answered ${quote(trouble.answer)} to ${quote(asked)}${times(count)}, which is not ${trouble.wanted}. Check its cable and earth, and that catalogue entry "${entry}" suits it.`,
      ];
    case "reported":
      return [
        "instrument.reported",
        `${calledFirst(addressee)} did not accept ${quote(asked)}; it reports ${trouble.errors.map(({ code, text }) => `${code} ${quote(text)}`).join(", ")}. Check the instrument's display and that catalogue entry "${entry}" suits it.`,
      ];
    case "interrupted":
      return [
        "instrument.closed",
        `${quote(asked)} to ${calledHere(addressee)} was broken off, because its output is being switched off.`,
      ];
    case "unsuitable":
      return ["instrument.entry-invalid", trouble.reason];
    case "exchanged":
      return [
        "instrument.exchanged",
        `${calledFirst(addressee)} is not the one expected: ${quote(trouble.found)} answers where ${quote(trouble.expected)} was expected. Check the address and the plugs, or the job.`,
      ];
  }
};

/** The trouble as the fault value that a person reads: who, where, what was asked, what to check. */
export const troubleFault = (
  addressee: Addressee,
  asked: string,
  count: number,
  trouble: Trouble,
): Extract<Outcome<never>, { ok: false }> => {
  const [code, message] = sentence(addressee, asked, count, trouble);
  const { kind, ...figures } = trouble;
  return failure(code, message, {
    instrument: addressee.id,
    at: addressee.at,
    asked,
    times: count,
    trouble: kind,
    ...figures,
  });
};
