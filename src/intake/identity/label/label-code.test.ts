import * as fc from "fast-check";
import { deflateRawSync } from "node:zlib";
import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { readout, reference } from "../fixtures/entries.test-support.ts";
import { fromBase32, toBase32 } from "./base32.ts";
import { dictionary1 } from "./dictionary.ts";
import { readLabelCode, writeLabelCode } from "./label-code.ts";

const seed = 20_261_125;

const codeOf = (...words: Parameters<typeof writeLabelCode>): string => {
  const code = writeLabelCode(...words);
  if (!code.ok) throw new Error(code.fault.message);
  return code.value;
};

/** Signs of the dense mode that a QR code of this version and the middle level of correction holds (ISO/IEC 18004, from memory). */
const holds = { 10: 311, 15: 600, 20: 970 } as const;

describe("base 32", () => {
  test.each([
    ["", ""],
    ["f", "MY"],
    ["fo", "MZXQ"],
    ["foo", "MZXW6"],
    ["foob", "MZXW6YQ"],
    ["fooba", "MZXW6YTB"],
    ["foobar", "MZXW6YTBOI"],
  ])("%s is %s (RFC 4648, section 10, without the padding)", (text, code) => {
    expect(toBase32(new TextEncoder().encode(text))).toBe(code);
    expect(new TextDecoder().decode(fromBase32(code)!)).toBe(text);
  });

  test(`every string of bytes comes back (seed ${seed})`, () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        expect(fromBase32(toBase32(bytes))).toEqual(bytes);
      }),
      { seed },
    );
  });

  test.each([["A"], ["MZ1"], ["mz"], ["MZXR"], ["MZ"]])("%s cannot come from whole bytes", (code) => {
    expect(fromBase32(code)).toBeNull();
  });
});

describe("the label's code", () => {
  test("brings the whole entry back, every number to the last bit, whatever the scanner adds", () => {
    const entry = reference({ driftPerYear: 0.1 + 0.2, dataSheet: "51-2207-B3-90117" });
    const code = codeOf(entry);
    expect(code).toMatch(/^DWP1[A-Z2-7]+$/);
    for (const typed of [code, code.toLowerCase(), `  ${code}\r\n`, code.replaceAll(/.{40}/g, "$& \n")])
      expect(readLabelCode(typed)).toEqual({ ok: true, value: entry });
    expect(readLabelCode(codeOf(readout))).toEqual({ ok: true, value: readout });
  });

  test("one entry has one code, whatever the order of its keys", () => {
    const { entry } = reference();
    const turned = Object.fromEntries(Object.entries(entry).toReversed()) as typeof entry;
    expect(codeOf({ kind: "reference", entry: turned })).toBe(codeOf(reference()));
  });

  test(`any coefficients come back to the last bit (seed ${seed})`, () => {
    const number = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1, max: 1 });
    fc.assert(
      fc.property(number, number, number, fc.double({ min: 1, max: 1e4, noNaN: true }), (a, b, c, r0) => {
        const entry = reference({ sensor: { kind: "platinum", equation: "callendar-van-dusen", r0, a, b, c } });
        const { coefficients: _, ...calibration } = entry.entry.calibration;
        const written = { ...entry, entry: { ...entry.entry, calibration } };
        const read = readLabelCode(codeOf(written));
        const sensor = read.ok && read.value.kind === "reference" ? read.value.entry.sensor : null;
        // JSON knows no negative zero, and a coefficient needs none.
        expect(sensor).toEqual({ kind: "platinum", equation: "callendar-van-dusen", r0, a: a + 0, b: b + 0, c: c + 0 });
      }),
      { seed, numRuns: 100 },
    );
  });

  test("twenty coefficients of seventeen digits fit a QR code of version 20, an ordinary reference one of version 15", () => {
    const long = (index: number): number => Number((Math.sin(index + 1) * 1e-4).toPrecision(17));
    const subrange = (number: number, from: number) => ({
      subrange: number,
      a: long(from),
      b: long(from + 1),
      c: long(from + 2),
      d: long(from + 3),
    });
    const { coefficients: _, ...calibration } = reference().entry.calibration;
    const scale = reference({
      sensor: {
        kind: "platinum",
        equation: "its-90",
        rtpw: 25.512_345_678_901_23,
        coefficients: [
          subrange(6, 1),
          subrange(7, 5),
          subrange(8, 9),
          subrange(9, 13),
          { subrange: 4, a: long(17), b: long(18), c: long(19) },
        ],
      },
      calibration,
    });
    expect(codeOf(scale).length).toBeLessThanOrEqual(holds[20]);
    expect(codeOf(reference()).length).toBeLessThanOrEqual(holds[15]);
  });

  test(`one sign read wrongly, left out or added is refused (seed ${seed})`, () => {
    const code = codeOf(reference());
    fc.assert(
      fc.property(
        fc.nat(code.length - 5),
        fc.constantFrom(..."ABCXYZ2347"),
        fc.constantFrom("turn", "drop", "add"),
        (place, letter, how) => {
          const at = place + 4;
          const wrong =
            how === "drop"
              ? code.slice(0, at) + code.slice(at + 1)
              : code.slice(0, at) + letter + code.slice(how === "turn" ? at + 1 : at);
          if (wrong === code) return;
          expect(readLabelCode(wrong)).toMatchObject({ ok: false, fault: { code: "identity.damaged" } });
        },
      ),
      { seed, numRuns: 300 },
    );
  });

  test("other codes, later versions and entries that are none are told apart", () => {
    const wrap = (text: string): string => {
      const bytes = Buffer.from(text);
      const sum = createHash("sha256").update(bytes).digest().subarray(0, 4);
      return `DWP1${toBase32(Buffer.concat([sum, deflateRawSync(bytes, { dictionary: Buffer.from(dictionary1) })]))}`;
    };
    expect(readLabelCode("https://example.test/1")).toMatchObject({
      fault: { message: expect.stringContaining("no label code") },
    });
    expect(readLabelCode("DWP7ABC")).toMatchObject({ fault: { message: expect.stringContaining("version 7") } });
    expect(readLabelCode(wrap('{"kind":"reference","entry":{"id":"x"}}'))).toMatchObject({
      fault: { code: "identity.unreadable" },
    });
    expect(readLabelCode(wrap("[]"))).toMatchObject({ fault: { code: "identity.unreadable" } });
    expect(readLabelCode(wrap("x"))).toMatchObject({ fault: { code: "identity.damaged" } });
  });

  test("a code that would unfold to more than an entry can be is refused, not unfolded", () => {
    const bomb = deflateRawSync(Buffer.alloc(1_000_000), { dictionary: Buffer.from(dictionary1) });
    expect(readLabelCode(`DWP1${toBase32(Buffer.concat([Buffer.alloc(4), bomb]))}`)).toMatchObject({
      fault: { code: "identity.damaged" },
    });
  });

  test("an entry that is too long for a QR code is refused", () => {
    const accuracy = Array.from({ length: 400 }, (_, index) => ({
      unit: "Ω" as const,
      upTo: Math.sqrt(index + 2),
      percentOfReading: Math.cbrt(index),
      absolute: Math.exp(-index),
      resolution: 0,
    }));
    expect(writeLabelCode({ kind: "readout", entry: { ...readout.entry, accuracy } })).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining("too long for a label") },
    });
  });
});
