import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { canonicalJson } from "./canonical-json.ts";

const seed = 8785;

describe("canonical JSON [R5]", () => {
  it("is what RFC 8785, 3.2.2 and 3.2.3, give for their examples", () => {
    const sample = JSON.parse(
      String.raw`{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}`,
    ) as unknown;
    expect(canonicalJson(sample)).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    );
    const keys = { "\u20ac": 1, "\r": 2, "\ufb33": 3, "1": 4, "\ud83d\ude00": 5, "\u0080": 6, "\u00f6": 7 };
    expect(Object.keys(JSON.parse(canonicalJson(keys).replace('"1"', '"one"')) as object)).toEqual([
      "\r",
      "one",
      "\u0080",
      "\u00f6",
      "\u20ac",
      "\ud83d\ude00",
      "\ufb33",
    ]);
  });

  it("writes minus zero as nought and leaves out what is undefined", () => {
    expect(canonicalJson({ b: -0, a: undefined, c: [0.1 + 0.2] })).toBe('{"b":0,"c":[0.30000000000000004]}');
  });

  it(`is the same for equal values, whatever the order of their keys, and reads back the same (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = canonicalJson(value);
        const turned = (part: unknown): unknown => {
          if (Array.isArray(part)) return part.map(turned);
          if (typeof part !== "object" || part === null) return part;
          return Object.fromEntries(
            Object.entries(part)
              .toReversed()
              .map(([key, each]) => [key, turned(each)]),
          );
        };
        expect(canonicalJson(turned(value))).toBe(text);
        expect(canonicalJson(JSON.parse(text))).toBe(text);
      }),
      { seed, numRuns: 300 },
    );
  });

  it.each<[string, unknown]>([
    ["not a number", { values: [1, Number.NaN] }],
    ["an infinity", Number.POSITIVE_INFINITY],
    ["half a character", { text: "\ud83d" }],
    ["a function", { act: () => 1 }],
    ["nothing in a list", [undefined]],
  ])("refuses %s instead of writing something else", (_, value) => {
    expect(() => canonicalJson(value)).toThrow(/which JSON cannot hold/);
  });
});
