import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { evaluate } from "./evaluate.ts";
import { explain, explanationText } from "./explain.ts";
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
      "2. Means",
      "3. Budget",
      "4. Conformity",
      "type K, E = V + E(t_cj)",
      "item.junction",
      "certificate DEMO-2231",
      "simple acceptance",
      "pass; probability of conformance",
    ]) {
      expect(text).toContain(part);
    }
    expect(text).toContain(`error ${explained.result.reported.error} K ± ${explained.result.reported.U} K`);
    expect(text.split("\n").filter((line) => /^ {2}\d+\.0 /.test(line))).toHaveLength(20);
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
