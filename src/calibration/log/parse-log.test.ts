import { describe, expect, it } from "vitest";
import { Fault } from "#fault";
import { InventedRun, inventedJob } from "../evaluate/invented-run.test-support.ts";
import { checkSequence, parseLog } from "./parse-log.ts";

const log = new InventedRun(inventedJob()).begin().measure({ point: 0 }).measure({ point: 1 }).end();
const lines = log.map((event) => JSON.stringify(event));

const refusal = (changed: readonly string[]): Fault => {
  try {
    parseLog(changed);
  } catch (error) {
    if (error instanceof Fault) return error;
  }
  throw new Error("the log was taken");
};
const replaced = (index: number, change: (event: Record<string, unknown>) => Record<string, unknown>): string[] =>
  lines.map((line, place) =>
    place === index ? JSON.stringify(change(JSON.parse(line) as Record<string, unknown>)) : line,
  );

describe("a run log [C1]", () => {
  it("comes back as it was written, empty lines at its end allowed", () => {
    expect(parseLog([...lines, "", "  "])).toEqual(log);
  });

  it.each<[string, string[], number, RegExp]>([
    ["empty", [], 1, /expected run-opened, but the log is empty/],
    ["not opened", lines.slice(1), 1, /expected run-opened first, not pass-begun/],
    ["opened twice", [...lines.slice(0, 3), lines[0]!], 4, /opened only once/],
    ["with a line missing", [...lines.slice(0, 4), ...lines.slice(5)], 5, /expected n = 4, not 5: a line is missing/],
    ["with lines exchanged", [lines[0]!, lines[2]!, lines[1]!, ...lines.slice(3)], 2, /out of place/],
    ["whose clock goes back", replaced(8, (event) => ({ ...event, at: 0 })), 9, /the run's clock never goes back/],
    ["cut off", [...lines.slice(0, 5), lines[5]!.slice(0, 40)], 6, /one whole JSON object/],
    ["with a gap of empty lines", [...lines.slice(0, 2), "", ...lines.slice(2)], 3, /empty line/],
    ["with an unknown event", replaced(2, (event) => ({ ...event, kind: "heater-hummed" })), 3, /kind/],
    [
      "with a value of the wrong kind",
      replaced(2, (event) => ({ ...event, temperature: "warm" })),
      3,
      /temperature: .*number/,
    ],
    ["with a field that nobody knows", replaced(1, (event) => ({ ...event, colour: "red" })), 2, /colour/],
    ["with fewer times than values", replaced(4, (event) => ({ ...event, times: [600] })), 5, /equally many/],
    ["of another format", replaced(0, (event) => ({ ...event, format: "dwellpoint-run/9" })), 1, /format/],
  ])("%s is refused with its line", (_, changed, line, words) => {
    const fault = refusal(changed);
    expect(fault.code).toBe("log.invalid");
    expect(fault.data).toMatchObject({ line });
    expect(fault.message).toMatch(new RegExp(`^Line ${line} of the log`));
    expect(fault.message).toMatch(words);
  });

  it("keeps the cause of what could not be read", () => {
    expect(refusal(["{"]).cause).toBeInstanceOf(SyntaxError);
  });

  it("is checked the same way when it comes as events", () => {
    expect(() => checkSequence(log)).not.toThrow();
    expect(() => checkSequence(log.toReversed())).toThrow(/expected run-opened first/);
  });
});
