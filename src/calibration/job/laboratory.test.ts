import { describe, expect, it } from "vitest";
import { agreedIntervalSchema, capabilitySchema } from "./laboratory.ts";

describe("what a laboratory is able to do", () => {
  const row = { from: 0, to: 100, U: 0.02 };

  it("is kept as it was written", () => {
    const rows = [
      row,
      { ...row, sensors: ["platinum", "thermocouple", "thermistor", "loop", "indication", "switch"] },
      { from: 20, to: 20, U: [{ temperature: 20, value: 0.01 }] },
    ];
    expect(capabilitySchema.parse(rows)).toEqual(rows);
  });

  it.each([
    ["no row", []],
    ["ends the wrong way round", [{ ...row, from: 101 }]],
    ["no kind of item", [{ ...row, sensors: [] }]],
    ["a kind that is none", [{ ...row, sensors: ["eye"] }]],
    ["a negative U", [{ ...row, U: -1 }]],
    ["a field too many", [{ ...row, k: 2 }]],
  ])("may not be %s", (_, rows) => expect(capabilitySchema.safeParse(rows).success).toBe(false));
});

describe("an interval that was agreed", () => {
  it("is of whole months, with the name of who agreed", () => {
    for (const months of [1, 12, 120])
      expect(agreedIntervalSchema.parse({ months, agreedWith: " quality manager " })).toEqual({
        months,
        agreedWith: "quality manager",
      });
    for (const wrong of [
      { months: 0, agreedWith: "x" },
      { months: 121, agreedWith: "x" },
      { months: 1.5, agreedWith: "x" },
      { months: 12, agreedWith: "  " },
      { months: 12 },
    ])
      expect(agreedIntervalSchema.safeParse(wrong).success).toBe(false);
  });
});
