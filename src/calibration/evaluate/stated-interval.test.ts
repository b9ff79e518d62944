import { describe, expect, it } from "vitest";
import { seededGenerator, type Generator } from "#numerics";
import { measuredUnit } from "#quantity";
import type { JobInput } from "../job/job.ts";
import type { RunEvent } from "../log/events.ts";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, resistor, thermocouple, transmitter } from "./invented-run.test-support.ts";

const seed = 9545;
const truth = 0.25;

/** Everything that the kit says may be wrong, drawn anew for each run from the distribution that the budget assumes. */
const inventedErrors = (generator: Generator) => {
  const limits = (halfWidth: number): number => halfWidth * (2 * generator.next() - 1);
  return {
    reference: 0.015 * generator.normal() + limits((0.04 * 181) / 365.2425) + limits(0.005) + limits(0.004),
    source: limits(0.06) + limits(0.02) + limits(0.01) + limits(0.01),
    referenceReadout: limits(0.001 + 0.00003 * 138.5),
    itemReadout: {
      Ω: limits(0.001 + 0.00003 * 138.5),
      mV: limits(0.002 + 0.00005 * 3.2),
      mA: limits(0.001 + 0.0001 * 14.67),
      "°C": 0,
    },
    junction: limits(0.3),
  };
};

const moved = (log: readonly RunEvent[], by: Readonly<Record<string, number>>): RunEvent[] =>
  log.map((event) =>
    event.kind === "readings-taken"
      ? { ...event, values: event.values.map((value) => value + (by[event.channel] ?? 0)) }
      : event,
  );

const oneRun = (item: JobInput["items"][number], generator: Generator, run: number): { error: number; U: number } => {
  const wrong = inventedErrors(generator);
  const invented = new InventedRun(inventedJob({ items: [item] }), { seed: run }).begin();
  // The reference shows its own error, the item stands at another place of the source.
  invented.measure({
    point: 1,
    temperature: 100 + wrong.reference,
    errors: [truth + wrong.source - wrong.reference],
    noise: 0.004,
  });
  const log = moved(invented.events, {
    reference: wrong.referenceReadout,
    "item-1": wrong.itemReadout[measuredUnit(item.unit)],
    junction: wrong.junction,
  });
  const point = evaluate(log).items[0]!.passes[0]!.points[1]!;
  if (point.status !== "measured") throw new Error(JSON.stringify(point));
  return { error: point.error.value, U: point.budget.U };
};

describe(`the stated interval holds the truth, 400 invented runs, seed ${seed} [C25]`, () => {
  it.each([resistor, thermocouple, transmitter])("of $description", (item) => {
    const generator = seededGenerator(seed).fork(item.id);
    const runs = Array.from({ length: 400 }, (_, run) => oneRun(item, generator, run));
    const covered = runs.filter(({ error, U }) => Math.abs(error - truth) <= U).length / runs.length;
    const spread = Math.sqrt(runs.reduce((sum, { error }) => sum + (error - truth) ** 2, 0) / runs.length);
    const stated = runs.reduce((sum, { U }) => sum + U / 2, 0) / runs.length;
    expect(covered).toBeGreaterThan(0.93);
    // Neither too small nor padded: the stated standard uncertainty is the real spread within a tenth.
    expect(stated / spread).toBeGreaterThan(0.9);
    expect(stated / spread).toBeLessThan(1.12);
  });
});
