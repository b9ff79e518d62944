import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { glyphCoverage } from "./glyph-coverage.ts";

const read = (file: string): Uint8Array => readFileSync(new URL(`fonts/${file}`, import.meta.url));

test("reads what each font has and has not", () => {
  const latin = glyphCoverage(read("AtkinsonHyperlegibleNext-Regular.ttf"));
  expect([latin(0x41), latin(0x2212), latin(0x416), latin(0x6e29)]).toEqual([true, true, false, false]);
  const broad = glyphCoverage(read("NotoSans-Regular.ttf"));
  expect([broad(0x41), broad(0x416), broad(0x3bb), broad(0x6e29)]).toEqual([true, true, true, false]);
  const eastern = glyphCoverage(read("DroidSansFallbackFull.ttf"));
  expect([eastern(0x6e29), eastern(0x3042), eastern(0x1f321)]).toEqual([true, true, false]);
});

test("refuses bytes that are no font", () => {
  expect(() => glyphCoverage(new Uint8Array(64))).toThrow(RangeError);
});
