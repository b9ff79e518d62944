import { describe, expect, test } from "vitest";
import { BitReader, BitWriter } from "./bits.ts";
import { fromTeds } from "./from-teds.ts";
import { pageLength, paged } from "./pages.ts";
import { readTeds, selectors } from "./read-teds.ts";
import type { TedsSection } from "./teds.ts";
import { knownTemplates, tedsPassport, templateNames } from "./templates.ts";
import { writeTeds } from "./write-teds.ts";

const basic = { manufacturer: 51, model: 2207, versionLetter: "B", version: 3, serial: 90_117 };

const resistance: TedsSection = {
  template: 37,
  values: {
    minimum: -40,
    maximum: 420,
    curve: "coefficients",
    r0: 100.0113,
    a: 3.90812e-3,
    b: -5.7913e-7,
    c: -4.2735e-12,
    current: 0.001_000_21,
    response: null,
    calibrated: "2026-03-11",
    initials: "MKB",
    period: 365,
    location: 12,
  },
};

const bytesOf = (sections: readonly TedsSection[], text = ""): Uint8Array => {
  const written = writeTeds({ basic, sections, text });
  if (!written.ok) throw new Error(written.fault.message);
  return written.value;
};

describe("the basic TEDS", () => {
  test("is 14, 15, 5, 6 and 24 bits, the lowest bit first (public tutorials on IEEE 1451.4)", () => {
    // Worked out by hand: 51 = 0b110011; 2207 << 14; 'B' = 2 << 29; 3 << 34; 90117 << 40.
    const number = 51n | (2207n << 14n) | (2n << 29n) | (3n << 34n) | (90_117n << 40n);
    const bytes = Uint8Array.from({ length: 8 }, (_, at) => Number((number >> BigInt(8 * at)) & 255n));
    expect(readTeds(bytes)).toEqual({ ok: true, value: { basic, sections: [], text: "", stopped: null } });
  });

  test("templates are numbered from 25 to 39, calibration templates from 40 to 42 (public tutorials)", () => {
    expect(Object.keys(templateNames).map(Number)).toEqual(Array.from({ length: 18 }, (_, index) => 25 + index));
    expect([...knownTemplates.keys()]).toEqual([36, 37, 40]);
    expect(tedsPassport.layouts).toMatchObject({ source: "from memory", confidence: "not compared with the standard" });
  });

  test.each([
    ["seven bytes", new Uint8Array(7).fill(0x55), "cut short"],
    ["nothing", new Uint8Array(0), "whole pages"],
    ["a blank memory", new Uint8Array(64).fill(0xff), "blank"],
    ["five thousand bytes", new Uint8Array(5000), "at most 4096"],
    ["zeros that are no memory", new Uint8Array(9), "maker's number 0"],
  ])("%s is refused in words", (_, bytes, words) => {
    expect(readTeds(bytes)).toMatchObject({ ok: false, fault: { message: expect.stringContaining(words) } });
  });
});

describe("templates", () => {
  test("a resistance thermometer brings coefficients, range, dates", () => {
    const teds = readTeds(bytesOf([resistance], "well 4"));
    if (!teds.ok) throw new Error(teds.fault.message);
    expect(teds.value).toMatchObject({ basic, text: "well 4", stopped: null });
    const brought = fromTeds(teds.value);
    expect(brought.sensor).toEqual({
      kind: "platinum",
      equation: "callendar-van-dusen",
      r0: 100.0113,
      a: 3.90812e-3,
      b: -5.7913e-7,
      c: -4.2735e-12,
    });
    expect(brought).toMatchObject({
      identity: { serial: "90117", dataSheet: "51-2207-B3-90117" },
      calibration: { date: "2026-03-11", due: "2027-03-11", laboratory: "MKB", certificate: null, uncertainty: null },
      range: { minimum: -40, maximum: 420 },
      unit: "Ω",
    });
    expect(brought.notes.join(" ")).toContain("from memory");
  });

  test("a thermocouple brings its type; a calibration table its rows", () => {
    const couple: TedsSection = {
      template: 36,
      values: {
        minimum: 0,
        maximum: 1100,
        lowest: 0,
        highest: 0.045,
        type: "N",
        junction: "to be compensated",
        resistance: null,
        response: null,
        calibrated: null,
        initials: "",
        period: 0,
        location: 0,
      },
    };
    const table: TedsSection = {
      template: 40,
      values: { domain: "temperature", points: 2, calibrated: "2026-05-04", initials: "AB", period: 200 },
      rows: [
        { at: 0, deviation: 0.0123 },
        { at: 100, deviation: -0.05 },
      ],
    };
    const teds = readTeds(bytesOf([couple, table]));
    if (!teds.ok) throw new Error(teds.fault.message);
    const brought = fromTeds(teds.value);
    expect(brought.sensor).toEqual({ kind: "thermocouple", type: "N" });
    expect(brought.calibration).toMatchObject({ date: "2026-05-04", due: "2026-11-20" });
    expect(brought.tables.at(-1)).toMatchObject({
      title: "calibration table",
      rows: [
        ["0", "0.0123"],
        ["100", "-0.05"],
      ],
    });
  });

  test("the standard's curve gives its coefficients, and says that they are the standard's (IEC 60751:2022)", () => {
    const { a: _a, b: _b, c: _c, ...values } = resistance.values;
    const teds = readTeds(bytesOf([{ template: 37, values: { ...values, curve: "alpha 0.00385", r0: 100 } }]));
    if (!teds.ok) throw new Error(teds.fault.message);
    expect(fromTeds(teds.value)).toMatchObject({
      sensor: { r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
      notes: [expect.stringContaining("the standard's"), expect.anything()],
    });
  });

  test.each([
    [25, "accelerometer"],
    [200, "template 200 is not read"],
  ])("of template %i the identity is read, and that the rest is not", (id, words) => {
    const writer = new BitWriter();
    for (const [value, bits] of [
      [51, 14],
      [1, 15],
      [1, 5],
      [1, 6],
      [7, 24],
      [selectors.standard, 2],
      [id, 8],
      [99, 20],
    ] as const)
      writer.unsigned(value, bits);
    expect(readTeds(writer.bytes())).toMatchObject({
      ok: true,
      value: { basic: { serial: 7 }, sections: [], stopped: expect.stringContaining(words) },
    });
  });

  test("an image that ends inside a template keeps the identity and says where it ends", () => {
    const whole = writeTeds({ basic, sections: [resistance], text: "" }, { checkSums: false });
    if (!whole.ok) throw new Error(whole.fault.message);
    expect(readTeds(whole.value.subarray(0, 20))).toMatchObject({
      ok: true,
      value: { basic, sections: [], stopped: "the image ends inside template 37 (resistance temperature detector)" },
    });
  });
});

describe("pages", () => {
  test("each begins with what makes its bytes add up to a multiple of 256 (from memory)", () => {
    const image = paged(Uint8Array.from({ length: 40 }, (_, at) => at * 7));
    expect(image.length).toBe(2 * pageLength);
    for (const page of [image.subarray(0, 32), image.subarray(32)])
      expect(page.reduce((sum, byte) => sum + byte, 0) % 256).toBe(0);
  });

  test("the page that does not hold is named; blank pages after it are not asked", () => {
    const image = new Uint8Array(128).fill(0xff);
    image.set(bytesOf([resistance]));
    expect(readTeds(image).ok).toBe(true);
    image[40]! ^= 4;
    expect(readTeds(image)).toMatchObject({ ok: false, fault: { message: expect.stringContaining("page 2 of 2") } });
  });
});

describe("writing", () => {
  test.each([
    [
      "a maker's number that is kept for other uses",
      { basic: { ...basic, manufacturer: 3 }, sections: [] },
      "17 to 16381",
    ],
    ["a serial number of 25 bits", { basic: { ...basic, serial: 16_777_216 }, sections: [] }, "serial number"],
    ["a version letter that is none", { basic: { ...basic, versionLetter: "ß" }, sections: [] }, "version letter"],
    [
      "a temperature below the field",
      { basic, sections: [{ ...resistance, values: { ...resistance.values, minimum: -400 } }] },
      "minimum",
    ],
    ["a value left out", { basic, sections: [{ template: 37, values: {} }] }, "minimum"],
    ["a template that is not known", { basic, sections: [{ template: 25, values: {} }] }, "Template 25"],
    [
      "rows that are not as many as said",
      {
        basic,
        sections: [
          {
            template: 40,
            values: { domain: "temperature", points: 3, calibrated: null, initials: "", period: 0 },
            rows: [],
          },
        ],
      },
      "3 rows",
    ],
    [
      "initials with a digit",
      { basic, sections: [{ ...resistance, values: { ...resistance.values, initials: "A1" } }] },
      "initials",
    ],
  ])("%s is refused", (_, teds, words) => {
    expect(writeTeds({ ...teds, text: "" })).toMatchObject({
      ok: false,
      fault: { code: "input.invalid", message: expect.stringContaining(words) },
    });
  });
});

test("bits are read lowest first and 32 of them stay unsigned", () => {
  const reader = new BitReader(Uint8Array.from([0b1010_0110, 0xff, 0xff, 0xff, 0xff, 0xff]));
  expect([reader.unsigned(3), reader.unsigned(5), reader.unsigned(32), reader.position]).toEqual([
    6, 20, 4_294_967_295, 40,
  ]);
  expect([reader.unsigned(9), reader.left]).toEqual([null, 0]);
});
