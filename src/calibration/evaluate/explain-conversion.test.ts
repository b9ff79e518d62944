import { describe, expect, it } from "vitest";
import { conversionCorrections, conversionLines, equationOf } from "./explain-conversion.ts";

const callendar = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
} as const;
const scale = {
  kind: "platinum",
  equation: "its-90",
  rtpw: 25,
  coefficients: [
    { subrange: 4, a: -1e-4, b: 1e-5 },
    { subrange: 9, a: -2e-4, b: -1e-5 },
  ],
} as const;
const typeK = { kind: "thermocouple", type: "K" } as const;
const thermistor = { kind: "thermistor", equation: "steinhart-hart", a: 1.1e-3, b: 2.3e-4, c: 8e-8 } as const;
const valuesOf = (...given: Parameters<typeof conversionLines>): string[] =>
  conversionLines(...given).map(({ values }) => values);

describe("a sensor's equation in words", () => {
  it.each([
    [typeK, "type K, E = V + E(t_cj), then the inverse of the reference function of IEC 60584-1"],
    [
      { ...typeK, deviation: [0.01] },
      "type K, E = V + E(t_cj), then the inverse of the reference function of IEC 60584-1, deviation function added",
    ],
    [scale, "ITS-90, W = R/R(TPW), its own deviation functions"],
    [callendar, "Callendar-Van Dusen, R0 = 100 Ω, A = 0.0039083, B = -5.775e-7, C = -4.183e-12"],
    [thermistor, "Steinhart-Hart, A = 0.0011, B = 0.00023, C = 8e-8"],
    [{ ...thermistor, d: 1e-9 }, "Steinhart-Hart, A = 0.0011, B = 0.00023, C = 8e-8, D = 1e-9"],
    [{ kind: "loop", lower: -50, upper: 150 }, "straight line, 4 mA at -50 °C, 20 mA at 150 °C"],
    [{ kind: "loop", lower: 0, upper: 100, current: [0, 10] }, "straight line, 0 mA at 0 °C, 10 mA at 100 °C"],
    [{ kind: "indication" }, "shows the temperature itself"],
    [
      { kind: "switch", onRise: "opens", trip: 90, tripsOn: "rising" },
      "a contact, which says only on which side of its trip it is",
    ],
  ] as const)("%j: %s", (sensor, words) => expect(equationOf(sensor)).toBe(words));
});

describe("a conversion with its values put in", () => {
  it("of platinum has the term in C below 0 °C only", () => {
    expect(valuesOf(callendar, 100, 0, null)).toEqual([
      "100.00000 Ω = 100 Ω·(1 + 0.0039083·t − 5.775e-7·t²), so t = 0.0000 °C",
    ]);
    expect(conversionLines(callendar, 138.5055, 100, null)[0]!.symbols).toBe("R = R0·(1 + A·t + B·t²), solved for t");
    expect(conversionLines(callendar, 99.9609, -0.1, null)[0]!.symbols).toBe(
      "R = R0·(1 + A·t + B·t² + C·(t − 100 °C)·t³), solved for t",
    );
  });

  it("of a thermistor has the square term where there is one", () => {
    expect(valuesOf({ ...thermistor, d: 1e-9 }, 10_000, 25, null)[0]).toContain(" + 1e-9·(ln R)² at R = 10000.0000 Ω");
    expect(conversionLines({ ...thermistor, d: 1e-9 }, 10_000, 25, null)[0]!.symbols).toContain(" + D·(ln R)²");
    expect(valuesOf({ ...thermistor, d: 0 }, 10_000, 25, null)[0]).not.toContain("(ln R)²");
  });

  it("of a loop keeps the signs of its line", () => {
    expect(valuesOf({ kind: "loop", lower: -50, upper: 150 }, 8, 0, null)).toEqual([
      "-50 °C + (8.00000 − 4)/16·(150 + 50) °C = 0.0000 °C",
    ]);
    expect(valuesOf({ kind: "loop", lower: 20, upper: 120, current: [0, 10] }, 5, 70, null)).toEqual([
      "20 °C + (5.00000 − 0)/10·(120 − 20) °C = 70.0000 °C",
    ]);
  });

  it("of a thermocouple adds the junction as electromotive force (IEC 60584-1, type K)", () => {
    // E(25 °C) = 1.000 mV and E(100 °C) = 4.096 mV; E(−20 °C) = −0.778 mV.
    const [junction, sum, inverse] = conversionLines(typeK, 3.0962, 100, 25);
    expect(junction).toMatchObject({
      symbols: "E(t_cj)",
      values: expect.stringMatching(/^E\(25\.000 °C\) = 1\.000\d\d mV$/),
    });
    expect(sum!.values).toMatch(/^3\.09620 mV \+ 1\.000\d+ mV = 4\.096\d\d mV$/);
    expect(inverse).toEqual({ symbols: "t: E_K(t) = E, inverted exactly", values: "t = 100.0000 °C" });
    expect(valuesOf(typeK, 4.096, 100, -20)[1]).toMatch(/^4\.09600 mV − 0\.777\d+ mV = 3\.318\d\d mV$/);
    expect(valuesOf(typeK, 4.096, 100, null)[0]).toBe("E(0.000 °C) = 0.00000 mV");
    expect(conversionLines({ ...typeK, deviation: [0.01] }, 4.096, 100, 0)[2]!.symbols).toBe(
      "t: E_K(t) + d(t) = E, inverted exactly",
    );
    expect(conversionLines(typeK, 4, 100, 5000)).toEqual([]);
  });

  it("on the ITS-90 names the subrange that holds there", () => {
    // The tin point: W_r = 1.892 797 68 at 231.928 °C (ITS-90, Table 1).
    const lines = valuesOf(scale, 47.3, 231.928, null);
    expect(lines[0]).toBe("47.300000 Ω / 25 Ω = 1.89200000");
    expect(lines[1]).toBe("1.89200000 + 0.00079768 = 1.89279768, subrange 9 with a = -0.0002, b = -0.00001");
    expect(lines[2]).toBe("t = 231.9280 °C");
    // The triple point of mercury: W_r = 0.844 142 11 at −38.8344 °C.
    expect(valuesOf(scale, 21.2, -38.8344, null)[1]).toMatch(/^0\.84800000 − 0\.00385789 = 0\.84414211, subrange 4 /);
    // Beyond all of them the first is named; beyond the scale there is nothing.
    expect(valuesOf(scale, 60, 600, null)[1]).toMatch(/subrange 4/);
    expect(valuesOf(scale, 60, 2000, null)).toEqual([]);
  });

  it("of what needs none says so", () => {
    expect(valuesOf({ kind: "indication" }, 20.5, 20.5, null)).toEqual(["t = 20.5000 °C"]);
    expect(conversionLines({ kind: "switch", onRise: "opens", trip: 90, tripsOn: "rising" }, 1, 20, null)).toEqual([]);
  });
});

describe("what of a conversion is a correction", () => {
  it("is the junction, and the deviation from the reference function", () => {
    const [junction, deviation] = conversionCorrections({ ...typeK, deviation: [0.01, -1e-4] }, 3.1, 100, 25);
    expect(junction).toMatchObject({ name: "Reference junction", applied: true });
    // 1.000 mV of type K at 25 °C, and 0.01 mV − 1e-4 mV/°C · 25 °C of its own.
    expect(junction!.words).toMatch(/^\+ 1\.007\d+ mV for the junction at 25\.000 °C/);
    // 0.01 mV − 1e-4 mV/°C · 100 °C = 0 mV; at 200 °C it is −0.01 mV.
    expect(deviation).toMatchObject({ applied: true, words: expect.stringMatching(/^\+ 0 mV at 100 °C/) });
    expect(conversionCorrections({ ...typeK, deviation: [0.01, -1e-4] }, 3.1, 200, null)[1]!.words).toMatch(
      /^− 0\.01 mV at 200 °C/,
    );
    expect(conversionCorrections(typeK, 3.1, 100, null)).toHaveLength(1);
    expect(conversionCorrections(typeK, 3.1, 100, null)[0]!.words).toMatch(/junction at 0\.000 °C/);
    expect(conversionCorrections(typeK, 3.1, 100, 5000)).toEqual([]);
  });

  it("is the deviation from the ITS-90 reference function, with what it is worth", () => {
    // W − W_r = 1.892 − 1.892 797 68 at the tin point, dW_r/dt = 3.712 721e-3 per K (ITS-90 supplementary information, from memory).
    const [only] = conversionCorrections(scale, 47.3, 231.928, null);
    expect(only).toMatchObject({ name: "Deviation from the ITS-90 reference function", applied: true });
    expect(only!.words).toMatch(/^ΔW = -0\.00079768, worth 0\.214\d K/);
    expect(conversionCorrections(scale, 47.3, 2000, null)).toEqual([]);
  });

  it("is none of a line, an equation of its own, or a display", () => {
    for (const sensor of [callendar, thermistor, { kind: "indication" }, { kind: "loop", lower: 0, upper: 1 }] as const)
      expect(conversionCorrections(sensor, 100, 20, null)).toEqual([]);
  });
});
