import * as fc from "fast-check";
import { expect, it } from "vitest";
import { encodeText } from "./latin-text.ts";
import { lineFramer } from "./line-framer.ts";

const seed = 20_260_314;

it(`any way of cutting the bytes gives the same lines (seed ${seed})`, () => {
  const line = fc.string({
    unit: fc.integer({ min: 0x20, max: 0xff }).map((code) => String.fromCharCode(code)),
    maxLength: 30,
  });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(line, fc.constantFrom("\n", "\r\n"))),
      line,
      fc.array(fc.nat(40)),
      (lines, rest, cuts) => {
        const bytes = encodeText(lines.map(([text, end]) => text + end).join("") + rest);
        const framer = lineFramer();
        const seen: string[] = [];
        let start = 0;
        for (const length of cuts) {
          seen.push(...framer.push(bytes.subarray(start, start + length)));
          start += length;
        }
        seen.push(...framer.push(bytes.subarray(start)));
        expect(seen).toEqual(lines.map(([text]) => text));
        expect(framer.pending()).toBe(rest);
      },
    ),
    { seed, numRuns: 300 },
  );
});

it("a line without end does not grow without bound", () => {
  const framer = lineFramer(100);
  expect(framer.push(encodeText("x".repeat(250)))).toEqual(["x".repeat(100), "x".repeat(100)]);
  expect(framer.pending()).toBe("x".repeat(50));
  framer.clear();
  expect(framer.pending()).toBe("");
});
