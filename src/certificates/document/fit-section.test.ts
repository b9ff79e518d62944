import { describe, expect, it } from "vitest";
import type { FittedItem, Item, ItemResult } from "#calibration";
import { adjustedItem, fittedTable, sampleJob, sampleResult } from "../fixtures/sample-run.test-support.ts";
import { fitSection } from "./fit-section.ts";
import { itemSection } from "./item-section.ts";
import { writingIn } from "./writing.ts";

const en = writingIn("en");

const job = sampleJob();
const item: Item = { ...job.items[0]!, sensor: { kind: "thermocouple", type: "N" } };
const withFit = (fit: ItemResult["passes"][number]["fit"], pass: 0 | 1 = 1): ItemResult => {
  const result = adjustedItem(job);
  return {
    ...result,
    passes: result.passes.map((entry, index) => (index === pass && fit !== undefined ? { ...entry, fit } : entry)),
  };
};
const callendar = fittedTable({ from: -50, rows: 45, step: 5 });
const of = (changes: Partial<FittedItem>, from: Item = item) =>
  fitSection(from, withFit({ ...callendar, ...changes }), en)!;
const coefficient = (name: string, value: number, unit = "") => ({
  name,
  value,
  unit,
  standardError: Math.abs(value) / 100,
});

describe("the section of a fitted item", () => {
  it("names the pass, the equation and its source", () => {
    const section = of({});
    expect(section.heading).toBe("Equation of the item as left");
    expect(section.equation).toMatch(
      /^R\(t\) = R₀·\[1 \+ A·t \+ B·t² \+ C·\(t − 100 °C\)·t³\], the term with C below 0 °C only; .*IEC\u00a060751/,
    );
    expect(fitSection(item, withFit(callendar, 0), en)!.heading).toBe(
      "Equation of the item as found, before any adjustment",
    );
  });

  it("sets coefficients with nine digits, typographic for people and plain for programs", () => {
    const rows = of({}).coefficients;
    expect(rows.map(({ symbol }) => symbol)).toEqual(["R₀", "A", "B", "C"]);
    expect(rows[0]!.value).toEqual({ text: "100.038455", plain: "100.038455" });
    expect(rows[1]!.value).toEqual({ text: "3.90821813·10⁻³", plain: "3.90821813e-3" });
    expect(rows[2]!.value).toEqual({ text: "−5.76604978·10⁻⁷", plain: "-5.76604978e-7" });
    expect(rows[3]!.standardUncertainty.text).toBe("4.1·10⁻¹⁴");
    expect(rows[1]!.unit).toBe("°C⁻¹");
  });

  it.each<[string, Partial<FittedItem>, RegExp]>([
    [
      "ITS-90, subrange 4",
      {
        model: "its-90",
        subrange: 4,
        coefficients: [coefficient("rtpw", 100), coefficient("a", 1e-4), coefficient("b", 1e-5)],
      },
      /= a\(W − 1\) \+ b\(W − 1\)ln W, .*subrange 4/,
    ],
    [
      "ITS-90, subrange 6",
      { model: "its-90", subrange: 6, coefficients: ["a", "b", "c", "d"].map((name) => coefficient(name, 1e-4)) },
      /c\(W − 1\)³ \+ d\(W − W\(660\.323 °C\)\)²/,
    ],
    [
      "ITS-90, subrange 1",
      { model: "its-90", subrange: 1, coefficients: ["a", "c1", "c5"].map((name) => coefficient(name, 1e-4)) },
      /c₁\(ln W\)³ \+ c₅\(ln W\)⁷/,
    ],
    [
      "ITS-90, subrange 3",
      { model: "its-90", subrange: 3, coefficients: ["a", "b", "c1"].map((name) => coefficient(name, 1e-4)) },
      /c₁\(ln W\)²/,
    ],
    [
      "thermocouple",
      {
        model: "thermocouple-deviation",
        unit: "mV",
        coefficients: [coefficient("d0", 0), coefficient("d1", 1e-5), coefficient("d2", 1e-8)],
      },
      /E′\(t\) \+ d₀ \+ d₁·t \+ d₂·t², .* type N/,
    ],
    [
      "polynomial",
      { model: "polynomial", unit: "mA", coefficients: [coefficient("c0", 4), coefficient("c1", 0.1)] },
      /is c₀ \+ c₁·t, in mA/,
    ],
    [
      "Callendar-Van Dusen from 0 °C up",
      { coefficients: callendar.coefficients.slice(0, 3) },
      /\[1 \+ A·t \+ B·t²\]; the Callendar/,
    ],
  ])("writes the equation of %s", (_, changes, sentence) => {
    expect(of(changes).equation).toMatch(sentence);
  });

  it("says how well the points fit", () => {
    expect(of({}).quality).toMatch(
      /to 6 points, 2 degrees of freedom left\. The largest residual is −0\.0040\sK, at 100\s°C\. .* 0\.81 times/u,
    );
    expect(of({ degreesOfFreedom: 0, residualStandardDeviation: null }).quality).toMatch(
      /so nothing is left to judge the fit by\. The largest residual is −0\.0040\sK, at 100\s°C\.$/u,
    );
    expect(of({ notes: ["A remark."] }).quality).toMatch(/A remark\.$/);
  });

  it("carries the table as it was reported", () => {
    const { table } = of({});
    expect(table.rows).toHaveLength(45);
    expect(table.rows[0]).toEqual({
      temperature: { text: "−50", plain: "-50" },
      signal: { text: "80.306", plain: "80.306" },
      U: { text: "0.045", plain: "0.045" },
    });
    expect(table.columns.map(({ heading, unit }) => `${heading}/${unit}`)).toEqual(["t/°C", "R/Ω", "U/K"]);
    expect(table.note).toMatch(/k = 2\.00, coverage probability about 95\.45\s%/u);
  });

  it("is left out where there is no fit, and a remark says why where one was asked for", () => {
    expect(fitSection(item, adjustedItem(job), en)).toBeNull();
    const refused = withFit({ status: "not-fitted", reason: "3 points do not determine 4 coefficients" });
    expect(fitSection(item, refused, en)).toBeNull();
    expect(
      itemSection(item, refused, { log: [], job, result: sampleResult(job, [refused]), writing: en }).passes[1]!
        .remarks,
    ).toContain("No equation was fitted: 3 points do not determine 4 coefficients.");
  });
});
