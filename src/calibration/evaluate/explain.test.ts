import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { referenceRatio, signalOf } from "#thermometry";
import { evaluate } from "./evaluate.ts";
import { explain } from "./explain.ts";
import { conversionCorrections, conversionLines } from "./explain-conversion.ts";
import { explanationText } from "./explanation-text.ts";
import { InventedRun, inventedJob, resistor, thermocouple, transmitter } from "./invented-run.test-support.ts";

const runOf = (item: typeof resistor) =>
  new InventedRun(inventedJob({ items: [item] }))
    .begin()
    .measure({ point: 0, errors: [0.2], noise: 0.004 })
    .measure({ point: 1, errors: [0.25], noise: 0.004 }).events;

describe("the derivation of a point", () => {
  const log = runOf(thermocouple);
  const explained = unwrap(explain(log, { item: "TT-101", pass: "as-found", point: 1 }));

  it("has the figures of the result, and its readings lead to them [C30]", () => {
    expect(explained.result).toEqual(evaluate(log).items[0]!.passes[0]!.points[1]);
    const differences = explained.readings.map(({ difference }) => difference);
    expect(differences.reduce((sum, value) => sum + value, 0) / differences.length).toBeCloseTo(
      explained.result.error.value,
      10,
    );
    expect(explained.readings).toHaveLength(20);
    expect(JSON.parse(JSON.stringify(explained))).toEqual(explained);
  });

  it("reads from the raw readings to the decision", () => {
    const text = explanationText(explained);
    for (const part of [
      "1. Readings",
      "2. Conversion of the mean signals",
      "3. Means and model",
      "4. Budget",
      "5. Conformity",
      "type K, E = V + E(t_cj)",
      "item.junction",
      "certificate DEMO-2231",
      "simple acceptance",
      ": pass",
      "specific risk, of this very item: probability of conformance",
    ]) {
      expect(text).toContain(part);
    }
    expect(text).toContain(`error ${explained.result.reported.error} K ± ${explained.result.reported.U} K`);
    expect(text.split("\n").filter((line) => /^ {2}\d+\.0 /.test(line))).toHaveLength(20);
  });

  it("puts the values into the equations, and they give the figures of the result [C43]", () => {
    const [ofReference, ofItem] = explained.conversions;
    const { result } = explained;
    expect(ofReference!.temperature).toBe(result.reference.value);
    // The electromotive forces as they are printed add up, and the sum is that of the temperature found.
    const [atJunction, sum] = ofItem!.lines.map(({ values }) =>
      Number(/([-\d.]+) mV$/.exec(values)?.[1] ?? Number.NaN),
    );
    expect(sum).toBeCloseTo(ofItem!.signal + atJunction!, 5);
    const force = unwrap(signalOf({ kind: "thermocouple", type: "K" }, result.indication.value)).signal;
    expect(sum).toBeCloseTo(force, 4);
    expect(explained.model.inputs.map(({ id }) => id)).toEqual(result.budget.lines.map(({ id }) => id));
    const { symbols, values } = explained.model;
    for (const { symbol } of explained.model.inputs)
      expect(symbols.split(symbol)).toHaveLength(symbol === "δ₁" ? 8 : 2);
    expect(values).toContain(`= ${result.error.value.toFixed(4)} K`);
    expect(explained.corrections.filter(({ applied }) => applied).map(({ name }) => name)).toEqual([
      "Reference junction",
    ]);
    expect(explained.decision.comparison).toContain(`${result.error.value.toFixed(4)} K: pass`);
  });

  it("says what the reference's own deviation function is worth [C43]", () => {
    const sensor = {
      kind: "platinum",
      equation: "its-90",
      rtpw: 100.00427,
      coefficients: [{ subrange: 7, a: -1.7120943e-4, b: -8.9436127e-6, c: -1.4370285e-6 }],
    } as const;
    const W = unwrap(signalOf(sensor, 100)).signal / sensor.rtpw;
    const worth = (unwrap(referenceRatio(100)).ratio - W) / unwrap(referenceRatio(100)).slope;
    const [correction] = conversionCorrections(sensor, W * sensor.rtpw, 100, null);
    expect(correction!.words).toContain(`worth ${worth.toFixed(4)} K`);
    expect(conversionLines(sensor, W * sensor.rtpw, 100, null)[1]!.values).toContain(
      "subrange 7 with a = -0.00017120943",
    );
  });

  it.each([
    [{ kind: "loop", lower: 0, upper: 150 }, 12, 75, "0 °C + (12.00000 − 4)/16·(150 − 0) °C = 75.0000 °C"],
    [{ kind: "indication" }, 20, 20, "t = 20.0000 °C"],
    [
      { kind: "platinum", equation: "callendar-van-dusen", r0: 100, a: 3.9083e-3, b: -5.775e-7, c: -4.183e-12 },
      92.1599,
      -20,
      "92.15990 Ω = 100 Ω·(1 + 0.0039083·t − 5.775e-7·t² − 4.183e-12·(t − 100)·t³), so t = -20.0000 °C",
    ],
    [
      { kind: "thermistor", equation: "steinhart-hart", a: 1.1e-3, b: 2.3e-4, c: 8e-8 },
      10000,
      25,
      "1/T = 0.0011 + 0.00023·ln R + 8e-8·(ln R)³ at R = 10000.0000 Ω, so t = 25.0000 °C",
    ],
  ] as const)("writes out the equation of %o", (sensor, signal, temperature, words) => {
    expect(conversionLines(sensor, signal, temperature, null).at(-1)!.values).toBe(words);
  });

  it.each([
    [resistor, /Callendar-Van Dusen, R0 = 100 Ω/],
    [transmitter, /straight line, 4 mA at 0 °C, 20 mA at 150 °C/],
  ])("names the equation of $tag", (item, words) => {
    expect(explanationText(unwrap(explain(runOf(item), { item: item.id, pass: "as-found", point: 0 })))).toMatch(words);
  });

  it("is refused for what is not there", () => {
    expect(explain(log, { item: "nobody", pass: "as-found", point: 0 })).toMatchObject({
      ok: false,
      fault: { message: 'The run has no item "nobody"; it has item-k.' },
    });
    expect(explain(log, { item: "item-k", pass: "as-found", point: 7 })).toMatchObject({
      ok: false,
      fault: { message: "The procedure has the points 1 to 2, not 8." },
    });
    expect(explain(log, { item: "item-k", pass: "as-left", point: 0 })).toMatchObject({
      ok: false,
      fault: { message: "Point 1 was not measured." },
    });
  });
});
