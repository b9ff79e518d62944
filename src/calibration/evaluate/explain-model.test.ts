import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import type { JobInput } from "../job/job.ts";
import type { MeasuredPoint } from "../result/result.ts";
import { evaluate } from "./evaluate.ts";
import { explain } from "./explain.ts";
import { explainedModel } from "./explain-model.ts";
import { explanationText } from "./explanation-text.ts";
import { inventedJob, InventedRun, resistor, thermocouple, transmitter } from "./invented-run.test-support.ts";
import type { PointModelDescription } from "./point-model.ts";

const [measured] = evaluate(new InventedRun(inventedJob()).begin().measure({ point: 0 }).events).items[0]!.passes[0]!
  .points as MeasuredPoint[];

type Input = PointModelDescription["inputs"][number];
const input = (id: string, entrance: Input["entrance"], sensitivity = 1): Input => ({
  id,
  entrance,
  sensitivity,
  u: 0.01,
  degreesOfFreedom: null,
  distribution: "normal",
});

/** A description with the budget that belongs to it. */
const explained = (
  inputs: readonly Input[],
  junction: number | null,
  units: readonly ["Ω" | "mV" | "mA" | "°C", "Ω" | "mV" | "mA" | "°C"] = ["mV", "Ω"],
) => {
  const point: MeasuredPoint = {
    ...measured!,
    reference: { value: 100, unit: "°C", origin: [] },
    indication: { value: 100.25, unit: "°C", origin: [] },
    error: { value: 0.25, unit: "K", origin: [] },
    budget: {
      ...measured!.budget,
      lines: inputs.map(({ id, u, sensitivity }) => ({
        ...measured!.budget.lines[0]!,
        id,
        name: `name of ${id}`,
        u,
        sensitivity,
        unit: "K",
      })),
    },
  };
  const description: PointModelDescription = {
    itemSensor: { kind: "indication" },
    referenceSensor: { kind: "indication" },
    signal: 4.1061234567,
    referenceSignal: 138.5055,
    junction,
    error: 0.25,
    inputs,
    correlations: [],
  };
  return explainedModel(description, point, ...units);
};

describe("the model of a point in symbols [C43]", () => {
  const inputs = [
    input("reference.calibration", "temperature", -1),
    input("reference.readout", "reference-signal", -2.6),
    input("item.readout", "item-signal", 24.2),
    input("item.junction", "junction", 0.98),
    input("settling.remainder", "temperature", 1),
    input("item.leads", "temperature", 0.5),
  ];

  it("has each δ at the place where it enters, with its sign and its factor", () => {
    expect(explained(inputs, 23)).toMatchObject({
      symbols: "e = t_item(V + δ₃; t_cj + δ₄) − t_ref(R + δ₂) − δ₁ + δ₅ + 0.5·δ₆",
      values:
        "e = t_item(4.1061235 mV; 23.000 °C) − t_ref(138.5055 Ω) = 100.2500 °C − 100.0000 °C = 0.2500 K, every δ being 0",
    });
    expect(explained(inputs, 23).inputs[3]).toEqual({
      symbol: "δ₄",
      id: "item.junction",
      name: "name of item.junction",
      entrance: "junction",
      u: 0.01,
      unit: "K",
    });
  });

  it("has no junction where there is none, and tells two signals of one unit apart", () => {
    const { symbols, values } = explained(inputs.slice(0, 3), null, ["Ω", "Ω"]);
    expect(symbols).toBe("e = t_item(R + δ₃) − t_ref(R_ref + δ₂) − δ₁");
    expect(values).toMatch(/^e = t_item\(4\.1061235 Ω\) − t_ref/);
    expect(explained(inputs.slice(0, 1), null, ["mA", "°C"]).symbols).toBe("e = t_item(I) − t_ref(t) − δ₁");
    expect(explained(inputs.slice(0, 1), null, ["°C", "Ω"]).symbols).toBe("e = t_item(t) − t_ref(R) − δ₁");
    expect(explained([], null).symbols).toBe("e = t_item(V) − t_ref(R)");
  });

  it("counts beyond nine with two figures", () => {
    const many = Array.from({ length: 12 }, (_, index) => input(`x${index}`, "temperature"));
    expect(
      explained(many, null)
        .inputs.map(({ symbol }) => symbol)
        .slice(8),
    ).toEqual(["δ₉", "δ₁₀", "δ₁₁", "δ₁₂"]);
  });
});

describe("the derivation as text", () => {
  const textOf = (item: JobInput["items"][number]): string[] => {
    const run = new InventedRun(inventedJob({ items: [item] }))
      .begin()
      .measure({ point: 1, errors: [0.1], noise: 0.01 });
    return explanationText(unwrap(explain(run.events, { item: item.id, pass: "as-found", point: 1 }))).split("\n");
  };
  /** Lines of a part, from its head to the empty line after it. */
  const part = (lines: readonly string[], head: string): string[] => {
    const from = lines.findIndex((line) => line.startsWith(head));
    return lines.slice(from + 1, lines.indexOf("", from));
  };

  it("names its point, and has its parts apart", () => {
    const lines = textOf(thermocouple);
    expect(lines[0]).toBe("TT-101 (item-k), as-found, point 2 at 100 °C, run demo-run");
    expect(lines.filter((line) => /^\d\. /.test(line))).toEqual([
      "1. Readings, the reference at the moment of the item",
      "2. Conversion of the mean signals",
      "3. Means and model",
      "4. Budget",
      "5. Conformity",
    ]);
    expect(lines.at(-1)).toBe("");
  });

  it("sets the readings under their heads, all rows equally long", () => {
    const [, , head, ...rows] = part(textOf(thermocouple), "1. Readings");
    expect(head!.trim().split(/ {2,}/)).toEqual([
      "time/s",
      "reference/Ω",
      "reference/°C",
      "item/mV",
      "junction/°C",
      "item/°C",
      "difference/K",
    ]);
    expect(rows).toHaveLength(20);
    expect(new Set([head, ...rows].map((line) => line!.length)).size).toBe(1);
    const cells = rows[0]!.trim().split(/ {2,}/);
    expect(cells[0]).toBe("600.0");
    expect(cells[4]).toBe("23.000");
    expect(Number(cells[5]) - Number(cells[2])).toBeCloseTo(Number(cells[6]), 3);
    expect(part(textOf(resistor), "1. Readings")[2]).not.toContain("junction");
  });

  it("says where the means come from, log lines counted from 1", () => {
    const means = part(textOf(thermocouple), "3. Means");
    // Opened, begun, commanded, settled: the reference's readings are the fifth line, the item's the sixth, the junction's the seventh.
    expect(means[0]).toMatch(/^ {2}reference {3}100\.\d{4} °C {3}\(log lines 5\)$/);
    expect(means[1]).toMatch(/^ {2}indication {2}100\.\d{4} °C {3}\(log lines 6, 7\)$/);
    expect(means.at(-1)).toMatch(/^ {2}20 pairs, worth [\d.]+ independent ones$/);
  });

  it("has a row for each line of the budget, its source last", () => {
    const budget = part(textOf(transmitter), "4. Budget");
    const [head, ...rest] = budget;
    const rows = rest.slice(0, -2);
    expect(head!.trim().split(/ {2,}/)).toEqual([
      "line",
      "u",
      "distribution",
      "ν",
      "c/(K/unit)",
      "|c|·u/K",
      "share",
      "source",
    ]);
    const result = evaluate(
      new InventedRun(inventedJob({ items: [transmitter] })).begin().measure({ point: 1, errors: [0.1], noise: 0.01 })
        .events,
    ).items[0]!.passes[0]!.points[1] as MeasuredPoint;
    expect(rows).toHaveLength(result.budget.lines.length);
    for (const [index, line] of result.budget.lines.entries()) {
      const row = rows[index]!;
      expect(row).toMatch(new RegExp(`^ {2}δ[₀-₉]+ +${line.id.replaceAll(".", "\\.")} `, "u"));
      expect(row.endsWith(`  ${line.source}`)).toBe(true);
      expect(row).toContain(` ${line.distribution} `);
      expect(row).toContain(` ${(100 * line.share).toFixed(1)} %`);
      expect(row).toContain(` ${line.contribution.toFixed(5)} `);
      expect(row.includes(" ∞ ")).toBe(line.degreesOfFreedom === null);
    }
    const { u, k, U } = result.budget;
    expect(rest.at(-2)).toContain(`u = √Σ(c·u)² = ${u.toFixed(5)} K`);
    expect(rest.at(-2)).toContain(`k = ${k.toFixed(3)} at 95.45 %, U = k·u = ${U.toFixed(5)} K`);
    expect(rest.at(-1)).toContain(`error ${result.reported.error} K ± ${result.reported.U} K`);
  });
});
