import { failure, Fault, success, type Outcome } from "#fault";
import { decideRecorded } from "#settling";
import type { Command } from "../command.ts";
import { answerLines, readFiniteNumber, readObject } from "../json-lines.ts";

const help = `
dwellpoint settle

When a recorded approach was ready to be measured, read as if live: nothing that comes later is looked at. JSON Lines on
standard input, one line out per line in, in order. It is the same judgement as in a run.

in   {"id":"a","time":[0,2,…],"reference":[…],"item":[…],"setPoint":150,"target":0.1}
       time           s, never falling; reference and item, °C, as many of each; null where a reading is missing
       setPoint       where the source was sent, °C
       target         largest uncertainty that settling and noise may leave in item − reference, K
     with, where known: "source":[…] (°C), "previousSetPoint":t, "itemResolution":K (one digit of the item's display)
out  {"id","settled":true,"at":s,"estimate":K,"U":K,"remainder":K}
       estimate       steady item − reference; U its expanded uncertainty, 95 %; remainder what was still missing, included in U
       slowTail       s, only where an item follows with a tail slower than the bound holds by itself
     {"id","settled":false,"forecast":{"at":s,"interval":[lo,hi]}}     never ready in this record; the interval is of about 80 %
     {"error":{"code","message","data"}}                               in its place, when the line cannot be answered

Exit 0 when every line was answered, 1 when one or more got an error, 2 for wrong usage.
Example: dwellpoint settle < approaches.jsonl
`;

const fields = [
  "id",
  "time",
  "reference",
  "item",
  "source",
  "setPoint",
  "previousSetPoint",
  "target",
  "itemResolution",
] as const;

const readTimes = (value: unknown): Outcome<readonly number[]> => {
  if (!Array.isArray(value) || value.length === 0)
    return failure("input.invalid", 'Field "time" must be a list of seconds with at least one reading.', {
      field: "time",
    });
  let before = Number.NEGATIVE_INFINITY;
  for (const [index, time] of value.entries()) {
    if (typeof time !== "number" || !Number.isFinite(time) || time < before)
      return failure(
        "input.invalid",
        `Field "time" must rise from reading to reading; number ${index + 1} of it does not. Sort the record by time.`,
        { field: "time", index },
      );
    before = time;
  }
  return success(value as number[]);
};

const readColumn = (field: string, value: unknown, length: number): Outcome<readonly (number | null)[]> => {
  if (!Array.isArray(value) || value.length !== length)
    return failure("input.invalid", `Field "${field}" must be a list of ${length} values, one for each time.`, {
      field,
    });
  const index = value.findIndex(
    (each: unknown) => each !== null && !(typeof each === "number" && Number.isFinite(each)),
  );
  if (index >= 0)
    return failure("input.invalid", `Number ${index + 1} of "${field}" is neither a finite number nor null.`, {
      field,
      index,
    });
  return success(value as (number | null)[]);
};

const readPositive = (field: string, value: unknown, orZero: boolean): Outcome<number> => {
  const number = readFiniteNumber(field, value);
  if (!number.ok || number.value > 0 || (orZero && number.value === 0)) return number;
  return failure("input.invalid", `Field "${field}" must be ${orZero ? "0 or more" : "more than 0"}, in K.`, { field });
};

const answer = (line: unknown): Outcome<object> => {
  const object = readObject(line, fields);
  if (!object.ok) return object;
  const { id, source, previousSetPoint, itemResolution = 0, ...given } = object.value;
  if (typeof id !== "string" && typeof id !== "number")
    return failure("input.invalid", 'Field "id" must be a text or a number: the answer carries it.', { field: "id" });
  const time = readTimes(given["time"]);
  if (!time.ok) return time;
  const { length } = time.value;
  const reference = readColumn("reference", given["reference"], length);
  if (!reference.ok) return reference;
  const item = readColumn("item", given["item"], length);
  if (!item.ok) return item;
  // It is not judged by, but a wrong one says that the line is not what somebody meant.
  if (source !== undefined && source !== null) {
    const column = readColumn("source", source, length);
    if (!column.ok) return column;
  }
  const setPoint = readFiniteNumber("setPoint", given["setPoint"]);
  if (!setPoint.ok) return setPoint;
  const before = readFiniteNumber("previousSetPoint", previousSetPoint ?? setPoint.value);
  if (!before.ok) return before;
  const target = readPositive("target", given["target"], false);
  if (!target.ok) return target;
  const resolution = readPositive("itemResolution", itemResolution ?? 0, true);
  if (!resolution.ok) return resolution;
  const decided = decideRecorded(
    { time: time.value, reference: reference.value, item: item.value },
    {
      target: target.value,
      setPoint: setPoint.value,
      sent: Math.abs(setPoint.value - before.value),
      resolution: resolution.value,
    },
  );
  if (!decided.settled) return success({ id, ...decided });
  const { slowTail, ...rest } = decided;
  return success(slowTail === null ? { id, ...rest } : { id, ...rest, slowTail });
};

/** `settle`: when recorded approaches were ready, a JSON line each. */
export const settle: Command = {
  name: "settle",
  summary: "when recorded approaches were ready to be measured, a JSON line each",
  help,
  run: (words, surroundings) => {
    if (words.length > 0)
      throw new Fault(
        "usage.wrong",
        `settle takes no words, only lines on standard input; "${words[0]}" is one. dwellpoint settle --help tells more.`,
      );
    return answerLines(surroundings, answer);
  },
};
