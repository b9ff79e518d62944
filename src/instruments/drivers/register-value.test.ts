import * as fc from "fast-check";
import { expect, it } from "vitest";
import { registersOf, registerTypes, valueOf, wordsOf, type RegisterCoding } from "./register-value.ts";

const coding = (changes: Partial<RegisterCoding>): RegisterCoding => ({
  type: "float32",
  wordOrder: "high-first",
  scale: 1,
  offset: 0,
  ...changes,
});

/** Bit patterns of IEEE 754: 123.456 is 42F6 E979 and -1.5 is BFC0 0000 in single precision. */
it.each([
  [coding({}), [0x42f6, 0xe979], 123.456],
  [coding({ wordOrder: "low-first" }), [0xe979, 0x42f6], 123.456],
  [coding({}), [0xbfc0, 0x0000], -1.5],
  [coding({ type: "int16" }), [0xffff], -1],
  [coding({ type: "uint16" }), [0xffff], 65_535],
  [coding({ type: "int32" }), [0xffff, 0xfffe], -2],
  [coding({ type: "uint32" }), [0xffff, 0xfffe], 4_294_967_294],
  [coding({ type: "int16", scale: 0.1 }), [235], 23.5],
  [coding({ type: "int16", scale: 0.01, offset: -100 }), [12_345], 23.45],
])("%o holds %j as %d", (how, words, value) => {
  expect(valueOf(words, how)).toBe(value);
  expect(wordsOf(value, how)).toEqual(words);
});

it("not a number and infinity stay what they are", () => {
  expect(valueOf([0x7fc0, 0], coding({}))).toBeNaN();
  expect(valueOf([0x7f80, 0], coding({}))).toBe(Number.POSITIVE_INFINITY);
  expect(wordsOf(Number.NaN, coding({ type: "int16" }))).toBeNull();
});

it("what does not fit is not sent", () => {
  expect(wordsOf(3300, coding({ type: "int16", scale: 0.1 }))).toBeNull();
  expect(wordsOf(-1, coding({ type: "uint16" }))).toBeNull();
  expect(wordsOf(1e39, coding({}))).toBeNull();
});

const seed = 20_261_125;
it(`a number comes back within half a step of its register, in either order of words (seed ${seed})`, () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...registerTypes),
      fc.constantFrom("high-first" as const, "low-first" as const),
      fc.constantFrom(1, 0.1, 0.01, 0.001),
      fc.integer({ min: 0, max: 30_000 }),
      (type, wordOrder, scale, raw) => {
        const how = coding({ type, wordOrder, scale });
        const words = wordsOf(raw * scale, how)!;
        expect(words).toHaveLength(registersOf(type));
        expect(Math.abs(valueOf(words, how) - raw * scale)).toBeLessThanOrEqual(type === "float32" ? raw * 1e-6 : 1e-9);
      },
    ),
    { seed, numRuns: 500 },
  );
});
