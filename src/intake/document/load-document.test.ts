import { describe, expect, it } from "vitest";
import { z } from "zod";
import { loadDocument } from "./load-document.ts";
import type { FieldError } from "./field-error.ts";

const figure = z.union([
  z.number().nonnegative(),
  z.array(z.strictObject({ temperature: z.number(), value: z.number() })).min(1),
]);

const schema = z.strictObject({
  name: z.string().min(1).describe("the name on the plate"),
  count: z.int().min(1).max(9).optional(),
  on: z.boolean().optional(),
  size: figure.optional(),
  kinds: z
    .array(z.enum(["bath", "dry-block"]))
    .max(2)
    .optional(),
  shape: z
    .discriminatedUnion("kind", [
      z.strictObject({ kind: z.literal("circle"), radius: z.number() }),
      z.strictObject({ kind: z.literal("square"), side: z.number() }),
    ])
    .optional(),
  either: z
    .union([
      z.strictObject({ kind: z.literal("a"), x: z.number() }),
      z.strictObject({ kind: z.literal("b"), y: z.string() }),
    ])
    .optional(),
  day: z.iso.date("a date as year-month-day, for example 2026-03-31").optional(),
  by: z.record(z.string().regex(/^[a-z]+$/, "small letters only"), z.number()).optional(),
  whole: z
    .strictObject({ a: z.number(), b: z.number() })
    .refine(({ a, b }) => a < b, { error: "a must be below b" })
    .optional(),
});

const vocabulary = { size: { unit: "K", example: "0.05" }, day: { example: "2026-03-31" } };

const errors = (text: string): string[] => {
  const outcome = loadDocument(text, "t.yaml", schema, { vocabulary });
  if (outcome.ok) throw new Error("was accepted");
  return (outcome.fault.data!.fields as FieldError[]).map(
    ({ line, column, path, message }) => `${line}:${column} ${path}: ${message}`,
  );
};

describe("a value of a schema", () => {
  it("comes with its defaults", () => {
    const outcome = loadDocument("a: 1", "x", z.strictObject({ a: z.number(), b: z.string().default("two") }));
    expect(outcome).toEqual({ ok: true, value: { a: 1, b: "two" } });
  });
});

describe("what is said of a wrong field", () => {
  it.each<[string, string[]]>([
    ["count: 3", ["1:1 name: this field is missing. It holds: the name on the plate."]],
    ["name:", ["1:6 name: this field is empty. It holds: the name on the plate."]],
    ['name: ""', ["1:7 name: this field is empty. It holds: the name on the plate."]],
    [
      "name: 012",
      ['1:7 name: expected text, but 012 without quotes is read as the number 12. Put it in quotes: "012".'],
    ],
    [
      "name: true",
      ['1:7 name: expected text, but true without quotes is read as the truth value true. Put it in quotes: "true".'],
    ],
    ["name: [a]", ["1:7 name: expected text, found a list."]],
    ["name: x\ncount: 1.5", ["2:8 count: expected a whole number, found 1.5."]],
    ["name: x\ncount: 10", ["2:8 count: expected a number not above 9, found 10."]],
    ["name: x\ncount: many", ['2:8 count: expected a number, found "many".']],
    ["name: x\non: yes", ['2:5 on: expected true or false, found "yes".']],
    [
      "name: x\nsize: abc",
      ['2:7 size: expected a number in K, or a table of temperature and value, found "abc". Write for example 0.05.'],
    ],
    [
      "name: x\nsize: 0,05",
      [
        '2:7 size: expected a number in K, or a table of temperature and value, found "0,05". Write the decimals after a point: 0.05.',
      ],
    ],
    [
      "name: x\nsize: 0.05 K",
      [
        '2:7 size: expected a number in K, or a table of temperature and value, found "0.05 K". Write the number alone, without its unit: 0.05.',
      ],
    ],
    [
      'name: x\nsize: "3"',
      ['2:7 size: expected a number in K, or a table of temperature and value, found "3". Write it without quotes: 3.'],
    ],
    ["name: x\nsize: -1", ["2:7 size: expected a number not below 0 K, found -1."]],
    [
      "name: x\nsize: .nan",
      ["2:7 size: expected a number in K, or a table of temperature and value, found NaN. Write for example 0.05."],
    ],
    ["name: x\nsize:\n  - temperature: 1", ["3:5 size[0].value: this field is missing."]],
    [
      "name: x\nkinds: [bath, dryblock]",
      ['2:15 kinds[1]: expected one of bath or dry-block; found "dryblock". Did you mean "dry-block"?'],
    ],
    ["name: x\nkinds: [bath, bath, bath]", ["2:8 kinds: expected at most 2 entries, found 3."]],
    ["name: x\nkinds: bath", ['2:8 kinds: expected a list (lines that begin with "- "), found "bath".']],
    [
      "name: x\nshape: {kind: squar, side: 2}",
      ['2:15 shape.kind: expected one of circle or square; found "squar". Did you mean "square"?'],
    ],
    ["name: x\nshape: {side: 2}", ["2:1 shape.kind: this field is missing. Write one of circle or square."]],
    [
      "name: x\nshape: {kind: square, radius: 2}",
      [
        "2:1 shape.side: this field is missing.",
        "2:23 shape.radius: this field is not known here. Known here: kind, side.",
      ],
    ],
    [
      "name: x\neither: {kind: b, y: 2}",
      ['2:22 either.y: expected text, but 2 without quotes is read as the number 2. Put it in quotes: "2".'],
    ],
    ["name: x\neither: {kind: c}", ['2:16 either.kind: expected one of a or b; found "c".']],
    ["name: x\neither: {y: word}", ["2:1 either.kind: this field is missing. Write one of a or b."]],
    [
      "name: x\nday: 31.3.2026",
      ['2:6 day: expected a date as year-month-day, for example 2026-03-31; found "31.3.2026".'],
    ],
    ["name: x\nday: 20260331", ["2:6 day: expected a date as year-month-day, for example 2026-03-31; found 20260331."]],
    ["name: x\nby: {A: 1}", ["2:6 by.A: this name cannot be used: small letters only."]],
    ["name: x\nwhole: {a: 2, b: 1}", ["2:8 whole: a must be below b."]],
    ["name: x\nwhole: 3", ["2:8 whole: expected a block of fields (key: value), found 3."]],
    [
      "nmae: x",
      [
        "1:1 name: this field is missing. It holds: the name on the plate.",
        '1:1 nmae: this field is not known here. Did you mean "name"?',
      ],
    ],
    [
      "name: x\nwhatever: 1",
      [
        "2:1 whatever: this field is not known here. Known here: name, count, on, size, kinds, shape, either, day, by, whole.",
      ],
    ],
    ["- a\n- b", ["1:1 (document): expected a block of fields (key: value), found a list."]],
  ])("%j", (text, expected) => {
    expect(errors(text)).toEqual(expected);
  });
});

describe("all that is wrong at once", () => {
  const text = ["count: 0", "on: 2", "size: x", "kinds: 4", "day: y", "shape: z", "other: 1"].join("\n");

  it("is listed in the order of the text", () => {
    expect(errors(text).map((line) => line.split(" ", 2)[1])).toEqual([
      "name:",
      "count:",
      "on:",
      "size:",
      "kinds:",
      "day:",
      "shape:",
      "other:",
    ]);
  });

  it("is told by its first five lines and the number of the rest", () => {
    const outcome = loadDocument(text, "t.yaml", schema);
    const lines = outcome.ok ? [] : outcome.fault.message.split("\n");
    expect(lines).toHaveLength(6);
    expect(lines[0]).toBe("t.yaml:1: name: this field is missing. It holds: the name on the plate.");
    expect(lines[5]).toBe("… and 3 more.");
    expect(outcome.ok || outcome.fault.code).toBe("input.invalid");
  });

  it("is asked between fields only when each is right by itself", () => {
    const sense = () => [{ path: ["count"], message: "does not go with the rest." }];
    const wrong = loadDocument("count: 3", "t.yaml", schema, { sense });
    expect(wrong.ok || wrong.fault.message).toBe(
      "t.yaml:1: name: this field is missing. It holds: the name on the plate.",
    );
    const right = loadDocument("name: x\ncount: 3", "t.yaml", schema, { sense, code: "instrument.entry-invalid" });
    expect(right.ok || right.fault).toMatchObject({
      code: "instrument.entry-invalid",
      message: "t.yaml:2: count: does not go with the rest.",
    });
  });
});
