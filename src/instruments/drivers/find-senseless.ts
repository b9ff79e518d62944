import { answerUnits } from "./entry-fields.ts";
import type { InstrumentEntry } from "./entry.ts";
import type { QuestionEntry } from "./question-entry.ts";
import { inputMeaning, type ReadableInput } from "./reading.ts";
import type { RegisterEntry } from "./register-entry.ts";
import { registersOf } from "./register-value.ts";
import { wordsSent } from "./words-sent.ts";
import type { SignalUnit } from "#quantity";

/** Something in an entry that is well-formed and still cannot be meant. */
export interface Senseless {
  /** Where in the entry, as a path of field names. */
  readonly field: string;
  readonly why: string;
}

/** Highest temperature that any source of this trade is set to, °C, and the lowest. */
const hottest = 3000;
const coldest = -273.15;

const temperatures = (
  field: string,
  limits: { readonly minimum: number; readonly maximum: number } | undefined,
): Senseless[] => {
  if (limits === undefined) return [];
  const found: Senseless[] = [];
  if (limits.minimum < coldest) found.push({ field: `${field}.minimum`, why: "below absolute zero (-273.15 °C)" });
  if (limits.maximum > hottest)
    found.push({ field: `${field}.maximum`, why: `above ${hottest} °C: is it in another unit?` });
  return found;
};

const units = (entry: InstrumentEntry): Senseless[] =>
  Object.entries(entry.read).flatMap(([unit, { inputs, range, answers }]) => {
    const meaning = inputMeaning<ReadableInput>(entry, unit as SignalUnit, inputs.first);
    const found: Senseless[] = meaning.ok
      ? []
      : [
          {
            field: `read.${unit}.answers`,
            why: `there is no way from ${answers} to ${unit}; known are ${answerUnits.join(", ")}`,
          },
        ];
    if (range !== undefined && range.minimum >= range.maximum)
      found.push({ field: `read.${unit}.range`, why: "minimum must be less than maximum" });
    return found;
  });

const questions = (entry: QuestionEntry): Senseless[] => {
  const found: Senseless[] = [];
  const { output, setPoint } = entry;
  if (output !== undefined && output.on === output.off)
    found.push({ field: "output.off", why: "the same words as for on: the source could not be switched off" });
  if (output !== undefined && output.readBack.on === output.readBack.off)
    found.push({ field: "output.readBack", why: "on and off read back alike, so nobody could tell them apart" });
  if (setPoint !== undefined && setPoint.readBack.within > 1)
    found.push({
      field: "setPoint.readBack.within",
      why: "more than 1 K between what was sent and what is read back would hide a set point that went wrong",
    });
  if (entry.onConnect.some((word) => /^\*RST\b/i.test(word)))
    found.push({
      field: "onConnect",
      why: "*RST at each connection would throw the set point and the ranges away in the middle of a run",
    });
  const risky = wordsSent(entry).find((word) => /;/.test(word) && word.includes("?"));
  if (risky !== undefined)
    found.push({ field: "read", why: `"${risky}" asks more than one thing at a time; one question, one answer` });
  return found;
};

const registers = (entry: RegisterEntry): Senseless[] => {
  const found: Senseless[] = [];
  const { output, setPoint } = entry;
  for (const [unit, place] of Object.entries(entry.read)) {
    const count = place.inputs.last - place.inputs.first + 1;
    const last = place.address + (count - 1) * (place.stride ?? 0) + registersOf(place.type) - 1;
    if (last > 65_535) found.push({ field: `read.${unit}.address`, why: "its last register would lie above 65535" });
    if (count > 1 && place.stride !== undefined && place.stride < registersOf(place.type))
      found.push({ field: `read.${unit}.stride`, why: "inputs would overlap: the stride is less than a number takes" });
  }
  if (setPoint !== undefined && output?.table === "holding") {
    const [from, to] = [setPoint.address, setPoint.address + registersOf(setPoint.type) - 1];
    if (output.address >= from && output.address <= to)
      found.push({ field: "output.address", why: "lies in the registers of the set point" });
  }
  return found;
};

/** What a checked entry says that makes no sense; empty for one that may be used. */
export const findSenseless = (entry: InstrumentEntry): readonly Senseless[] => {
  const common = [...units(entry)];
  if ("setPoint" in entry) common.push(...temperatures("setPoint", entry.setPoint));
  if (entry.timeout * (entry.retries + 1) > 120)
    common.push({
      field: "timeout",
      why: `with ${entry.retries + 1} attempts a silent instrument would be waited for ${entry.timeout * (entry.retries + 1)} s; two minutes is too long at a hot block`,
    });
  if (entry.dialogue === "registers") return [...common, ...registers(entry)];
  return entry.dialogue === "talk-only" ? common : [...common, ...questions(entry)];
};
