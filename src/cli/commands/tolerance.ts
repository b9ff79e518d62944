import { failure, Fault, type Outcome } from "#fault";
import {
  classTolerance,
  toleranceClasses,
  type Construction,
  type ToleranceClass,
  type ToleranceLimits,
} from "#calibration";
import { thermocoupleTypes, type ThermocoupleType } from "#thermometry";
import type { Command } from "../command.ts";
import { answerLines, readFiniteNumber, readObject } from "../json-lines.ts";

const help = `
dwellpoint tolerance

Limits of a tolerance class at a temperature. JSON Lines on standard input, one line out per line in, in order.

in   {"class":"iec-60584-1/1","type":"K","temperature":t}     temperature in °C (ITS-90)
     {"class":"iec-60751/A","temperature":t,"construction":"film"}
out  {"lower":-x,"upper":x}                     limits of the error, in K
     {"error":{"code","message","data"}}        in its place; code tolerance.undefined outside the class's range

classes
  iec-60584-1/1  iec-60584-1/2  iec-60584-1/3   thermocouples, with "type": B E J K N R S T C A
  astm-e230/standard  astm-e230/special         thermocouples, with "type"
  iec-60751/AA  iec-60751/A  iec-60751/B  iec-60751/C
                platinum thermometers; "construction" says whose range holds: "wire-wound" (where nothing is said) or "film"

Exit 0 when every line was answered, 1 when one or more got an error, 2 for wrong usage.
Example: echo '{"class":"iec-60751/B","temperature":150}' | dwellpoint tolerance
`;

const fields = ["class", "type", "temperature", "construction"];
const constructions = ["wire-wound", "film"] as const satisfies readonly Construction[];

/** One of a list of words, or a sentence that gives the list. */
const readChoice = <T extends string>(field: string, value: unknown, choices: readonly T[]): Outcome<T> => {
  const choice = choices.find((candidate) => candidate === value);
  return choice === undefined
    ? failure("input.invalid", `Field "${field}" must be one of ${choices.join(", ")}.`, { field })
    : { ok: true, value: choice };
};

const isPlatinumClass = (name: ToleranceClass): boolean => name.startsWith("iec-60751/");

const answer = (line: unknown): Outcome<ToleranceLimits> => {
  const object = readObject(line, fields);
  if (!object.ok) return object;
  const name = readChoice("class", object.value["class"], toleranceClasses);
  if (!name.ok) return name;
  const temperature = readFiniteNumber("temperature", object.value["temperature"]);
  if (!temperature.ok) return temperature;
  const construction = readChoice("construction", object.value["construction"] ?? constructions[0], constructions);
  if (!construction.ok) return construction;
  if (isPlatinumClass(name.value)) return classTolerance(name.value, undefined, temperature.value, construction.value);
  const type = readChoice<ThermocoupleType>("type", object.value["type"], thermocoupleTypes);
  return type.ok ? classTolerance(name.value, type.value, temperature.value) : type;
};

/** `tolerance`: limits of a tolerance class at a temperature, a JSON line each. */
export const tolerance: Command = {
  name: "tolerance",
  summary: "limits of a tolerance class at a temperature, a JSON line each",
  help,
  run: (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `tolerance takes no words, only lines on standard input; "${words[0]}" is one. dwellpoint tolerance --help tells more.`,
      );
    return answerLines(surroundings, answer);
  },
};
