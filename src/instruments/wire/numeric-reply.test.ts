import * as fc from "fast-check";
import { expect, it } from "vitest";
import { parseNumericReply, shiftDecimal } from "./numeric-reply.ts";

const seed = 4_882;

// Forms after IEEE 488.2 8.7.2 to 8.7.4; infinity and not-a-number after SCPI-1999 7.2.1.4 and 7.2.1.5 (from memory).
it.each([
  ["123", "NR1", 123],
  ["-7", "NR1", -7],
  ["+25.4961", "NR2", 25.4961],
  [".5", "NR2", 0.5],
  ["4.", "NR2", 4],
  ["+1.61234E-02", "NR3", 0.0161234],
  ["1e3", "NR3", 1000],
])("%s is the number form %s", (text, form, value) => {
  expect(parseNumericReply(` ${text}\t`)).toEqual({ kind: "number", form, digits: text, value });
});

it.each([
  ["9.9E37", { kind: "infinity", sign: 1 }],
  ["+9.900000E+37", { kind: "infinity", sign: 1 }],
  ["-9.9E+37", { kind: "infinity", sign: -1 }],
  ["9.91E37", { kind: "not-a-number" }],
  ["+9.91000000E+37", { kind: "not-a-number" }],
])("%s is not a number to reckon with", (text, meaning) => {
  expect(parseNumericReply(text)).toMatchObject(meaning);
});

it.each([
  "",
  "abc",
  "1.2.3",
  "1,5",
  "--1",
  "1 2",
  "25.4\x07",
  "NaN",
  "Infinity",
  "0x10",
  "1E",
  "E5",
  "+",
  ".",
  "1e99999",
])("%j is malformed", (text) => {
  expect(parseNumericReply(text).kind).toBe("malformed");
});

it(`every number in any of the forms comes back as itself (seed ${seed})`, () => {
  const finite = fc.double({ noNaN: true, min: -1e30, max: 1e30 });
  fc.assert(
    fc.property(finite, fc.integer({ min: 0, max: 12 }), (value, places) => {
      for (const text of [value.toFixed(places), value.toExponential(places), String(value)]) {
        if (Math.abs(value) >= 1e21 && !text.includes("e")) continue;
        const reply = parseNumericReply(text);
        expect(reply).toMatchObject({ kind: "number", value: Number(text) });
      }
    }),
    { seed, numRuns: 300 },
  );
});

it(`moving the decimal point is exact on the digits (seed ${seed})`, () => {
  expect(shiftDecimal("0.0161234", 3)).toBe(16.1234);
  expect(shiftDecimal("+16.1234E-03", 3)).toBe(16.1234);
  expect(shiftDecimal("-4.5", 0)).toBe(-4.5);
  fc.assert(
    fc.property(fc.integer({ min: -999_999, max: 999_999 }), (units) => {
      expect(shiftDecimal((units / 1e6).toFixed(6), 3)).toBe(Number((units / 1e3).toFixed(3)));
    }),
    { seed, numRuns: 500 },
  );
});
