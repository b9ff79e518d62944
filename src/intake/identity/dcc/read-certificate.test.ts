import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import type { Brought } from "../brought.ts";
import { bytesOf, certificate, coefficients, points } from "../fixtures/certificate.test-support.ts";
import { readCertificate } from "./read-certificate.ts";

const only = (text: string): Brought => {
  const read = readCertificate(bytesOf(text));
  if (!read.ok) throw new Error(read.fault.message);
  expect(read.value).toHaveLength(1);
  return read.value[0]!;
};

describe("a laboratory's certificate", () => {
  const brought = only(certificate());

  test("names item, laboratory, number and days", () => {
    expect(brought.identity).toEqual({
      serial: "PR-2207",
      manufacturer: null,
      model: "P4",
      description: "Platinum resistance thermometer",
      dataSheet: null,
      further: [{ label: "Number (customer)", value: "M-14" }],
    });
    expect(brought.calibration).toMatchObject({
      certificate: "NT-26-1180",
      laboratory: "Northgate Thermometry (demo)",
      date: "2026-03-10",
      due: "2027-03-10",
      k: 2,
    });
  });

  test("brings coefficients with all their digits, and what the formula gives as check values", () => {
    expect(brought.sensor).toEqual({
      kind: "platinum",
      equation: "callendar-van-dusen",
      r0: 100.0113,
      a: 3.90812e-3,
      b: -5.7913e-7,
      c: -4.2735e-12,
    });
    expect(brought.checkValues).toEqual([
      { temperature: 0, signal: 100.0113, digits: 4 },
      { temperature: 100, signal: 138.5177, digits: 4 },
      { temperature: 200, signal: 175.8658, digits: 4 },
    ]);
  });

  test("points keep their digits, kelvins become degrees exactly, U of the signal becomes K by the slope", () => {
    expect(brought.points[0]).toEqual({
      temperature: 0.01,
      measured: 100.015,
      unit: "Ω",
      error: null,
      U: 0.0039,
      uncertaintyUnit: "Ω",
      k: 2,
    });
    expect(brought.tables[0]!.rows[0]).toEqual(["273.160", "100.0150", "0.0039", "2"]);
    // 0.0039 Ω over 0.39085 Ω/°C and so on: slopes of the equation by hand.
    expect(brought.calibration.uncertainty).toEqual([
      { temperature: 0.01, value: 0.009978 },
      { temperature: 100, value: 0.01503 },
      { temperature: 200, value: 0.02013 },
    ]);
    expect(brought.range).toEqual({ minimum: 0.01, maximum: 200 });
    expect(brought.notes.join(" ")).toContain("no range of validity");
  });

  test.each([
    ["A in another unit", coefficients().replace("\\kelvin\\tothe{-1}", "\\ohm"), "A in \\ohm"],
    ["no B", coefficients().replaceAll(/<dcc:quantity id="B".*?<\/dcc:quantity>/g, ""), null],
  ])("coefficients are not guessed: %s", (_, written, note) => {
    const { sensor, notes } = only(certificate({ coefficients: written }));
    expect(sensor).toBeNull();
    expect(note === null || notes.join(" ").includes(note)).toBe(true);
  });

  const named = (words: string, values: Readonly<Record<string, readonly [string, string]>>): string =>
    `<dcc:result><dcc:name><dcc:content>${words}</dcc:content></dcc:name><dcc:data><dcc:list>${Object.entries(values)
      .map(
        ([name, [value, unit]]) =>
          `<dcc:quantity><dcc:name><dcc:content>${name}</dcc:content></dcc:name><si:real><si:value>${value}</si:value><si:unit>${unit}</si:unit></si:real></dcc:quantity>`,
      )
      .join("")}</dcc:list></dcc:data></dcc:result>`;

  test("a deviation function of the ITS-90 is taken with its subrange, and not without it", () => {
    const values = {
      "R(0.01 °C)": ["25.4961", "\\ohm"],
      a: ["-1.6432E-4", "\\one"],
      b: ["1.2085E-5", "\\one"],
    } as const;
    expect(only(certificate({ coefficients: named("Deviation function in its subrange 9", values) })).sensor).toEqual({
      kind: "platinum",
      equation: "its-90",
      rtpw: 25.4961,
      coefficients: [{ subrange: 9, a: -1.6432e-4, b: 1.2085e-5 }],
    });
    const { sensor, notes } = only(certificate({ coefficients: named("Deviation function", values) }));
    expect(sensor).toBeNull();
    expect(notes.join(" ")).toContain("not in which subrange");
  });

  test("a thermocouple's deviation is taken with its type, and not without it", () => {
    const values = { "d₀": ["0.0012", "\\one"], "d₁": ["-4.5E-6", "\\one"] } as const;
    expect(only(certificate({ coefficients: named("Deviation of type N", values) })).sensor).toEqual({
      kind: "thermocouple",
      type: "N",
      deviation: [0.0012, -4.5e-6],
    });
    const { sensor, notes } = only(certificate({ coefficients: named("Deviation", values) }));
    expect(sensor).toBeNull();
    expect(notes.join(" ")).toContain("not for which type");
    const volts = { ...values, "d₁": ["-4.5E-9", "\\volt\\kelvin\\tothe{-1}"] } as const;
    expect(only(certificate({ coefficients: named("Deviation of type N", volts) }))).toMatchObject({
      sensor: null,
      notes: expect.arrayContaining([expect.stringContaining("d1 in \\volt")]),
    });
  });

  test("without C it is written as 0, and said", () => {
    const { sensor, notes } = only(
      certificate({ coefficients: coefficients().replaceAll(/<dcc:quantity id="C".*?<\/dcc:quantity>/g, "") }),
    );
    expect(sensor).toMatchObject({ c: 0 });
    expect(notes.join(" ")).toContain("no C");
  });

  test("points with several coverage factors are given for k = 2", () => {
    const { calibration, notes } = only(certificate({ points: points.replace("2.00 2.00 2.00", "2.00 2.00 4.00") }));
    expect(calibration.k).toBe(2);
    expect(calibration.uncertainty).toMatchObject([{}, {}, { value: 0.01006 }]);
    expect(notes.join(" ")).toContain("k = 2");
  });

  test.each([
    ["another root", "<x/>", "begins with <x>"],
    ["another version", certificate({ version: "2.4.0" }), "version 2.4.0"],
    ["no items", certificate().replace(/<dcc:items>[\s\S]*<\/dcc:items>/, "<dcc:items/>"), "0 items"],
  ])("%s is refused in words", (_, text, words) => {
    expect(readCertificate(bytesOf(text))).toMatchObject({
      ok: false,
      fault: { code: "identity.unreadable", message: expect.stringContaining(words) },
    });
  });
});

/**
 * The published good-practice examples are under licences of their own and do not lie in this repository; the variable names
 * the folder that holds them. Without it they are not read, which is said aloud.
 */
const folder = process.env["DWELLPOINT_DCC_SCHEMAS"];
const example = (name: string): Brought | null => {
  if (folder !== undefined) return only(readFileSync(join(folder, name), "utf8"));
  console.warn(
    `The published example ${name} was not read: DWELLPOINT_DCC_SCHEMAS names no folder. The invented certificates were.`,
  );
  return null;
};

describe("the published examples of the Digital Calibration Certificate (Physikalisch-Technische Bundesanstalt, drafts of good practice)", () => {
  test("a Pt100 with resistances: R0, A, B of its formula, range and day of recalibration", () => {
    const brought = example("example-temperature-resistance-v3.3.0.xml");
    expect(brought?.sensor ?? { r0: 100.0225, a: 0.0039155, b: -6.469e-7, c: 0 }).toMatchObject({
      r0: 100.0225,
      a: 0.0039155,
      b: -6.469e-7,
      c: 0,
    });
    expect(brought?.points.length ?? 9).toBe(9);
    expect(brought?.checkValues.at(-1) ?? { temperature: 100, signal: 138.5392643 }).toMatchObject({
      temperature: 100,
      signal: 138.5392643,
    });
    expect(brought?.range ?? { minimum: -0.15, maximum: 59.85 }).toEqual({ minimum: -0.15, maximum: 59.85 });
    expect(brought?.calibration.due ?? "1959-10-22").toBe("1959-10-22");
  });

  test("a sensor that indicates °C: errors with one U for all", () => {
    const brought = example("example-temperature-typical-v3.3.0.xml");
    expect(brought?.points.map(({ error }) => error) ?? [0.072, 0.089, 0.107, -0.009, -0.084]).toEqual([
      0.072, 0.089, 0.107, -0.009, -0.084,
    ]);
    expect(brought?.calibration.uncertainty ?? 0.061).toBe(0.061);
    expect(brought?.sensor?.kind ?? "indication").toBe("indication");
  });
});
