import { describe, expect, it } from "vitest";
import { evaluate, type SwitchResult } from "#calibration";
import { seededGenerator, type Generator } from "#numerics";
import { conductRamps, switchJob } from "./ramp-bench.test-support.ts";

const within = (random: Generator, limit: number): number => limit * (2 * random.next() - 1);

/** Hidden errors as the invented kit states them: U = 0.02 K with k = 2, drift, readout 0.002 Ω, places ±0.01 K. */
const hidden = (random: Generator) => ({
  referenceError: 0.01 * random.normal() + within(random, 0.004) + within(random, 0.002 / 0.385),
  placeError: within(random, 0.01) + within(random, 0.01),
  rising: 60 + 0.4 * random.normal(),
  repeatability: 0.02,
  chatter: random.next() < 0.5 ? 0 : 6,
  sourceOffset: within(random, 0.5),
});

interface Score {
  readonly hits: number;
  readonly asked: number;
  readonly errors: readonly number[];
  readonly stated: readonly number[];
}

/** How often the truth lies in the stated interval, over many visits with the real engine and the real evaluation. */
const score = (
  visits: number,
  cycles: number,
  ramp: Parameters<typeof switchJob>[0],
  lags: (random: Generator) => { readonly itemLag: number; readonly referenceLag: number },
  sensor: NonNullable<Parameters<typeof switchJob>[1]>["sensor"] = {},
): Score => {
  const job = switchJob({ cycles, before: 2.5, beyond: 4, soak: 90, ...ramp }, { sensor });
  let [hits, asked] = [0, 0];
  const errors: number[] = [];
  const stated: number[] = [];
  for (let visit = 0; visit < visits; visit += 1) {
    const random = seededGenerator(7).fork(visit);
    const errorsOfKit = hidden(random);
    const truth = { ...errorsOfKit, falling: errorsOfKit.rising - 3.3, ...lags(random) };
    const run = conductRamps(job, { truth, seed: visit + 1 });
    const found: SwitchResult = evaluate(run.log).items[0]!.passes[0]!.switch!;
    const { rising, falling, deadBand } = found;
    if (rising.status !== "measured" || falling.status !== "measured" || deadBand.status !== "measured")
      throw new Error(`visit ${visit}: ${JSON.stringify(run.state.faults.at(-1))}`);
    for (const [value, U, is] of [
      [rising.temperature.value, rising.budget.U, truth.rising],
      [falling.temperature.value, falling.budget.U, truth.falling],
      [deadBand.value.value, deadBand.budget.U, 3.3],
    ] as const) {
      asked += 1;
      if (Math.abs(value - is) <= U) hits += 1;
      errors.push(Math.abs(value - is));
      stated.push(U);
    }
  }
  return { hits, asked, errors, stated };
};

const quantile = (values: readonly number[], share: number): number =>
  values.toSorted((a, b) => a - b)[Math.floor(share * (values.length - 1))]!;

// Some hundred cycles up and down for each way of dealing with the lag; seeds 7 and 1 to 100. Over 400 visits at two rates it
// was 95.9 % (nominal 95.45 %).
describe("the truth of a switch lies in its stated interval", () => {
  const all = { hits: 0, asked: 0 };
  it.each([
    [
      "lag bounded",
      34,
      3,
      { rate: 0.5 },
      (random: Generator) => ({ referenceLag: 60, itemLag: 60 + within(random, 58) }),
      {},
    ],
    [
      "lag declared",
      67,
      3,
      { rate: 0.5 },
      (random: Generator) => ({ referenceLag: 15, itemLag: 55 + within(random, 10) }),
      { lag: { seconds: 40, halfWidth: 10 } },
    ],
    [
      "two rates",
      100,
      4,
      { rate: 0.6, slowRate: 0.3 },
      (random: Generator) => ({ referenceLag: 15, itemLag: 15 + 90 * random.next() }),
      {},
    ],
  ] as const)("%s [C61, C62, C63, C64, C65, C66, C70]", (_, visits, cycles, ramp, lags, sensor) => {
    const { hits, asked, errors, stated } = score(visits, cycles, ramp, lags, sensor);
    // The three figures of a visit hang together, so 100 visits scatter by about 2 % around the nominal 95.45 %.
    expect(hits / asked).toBeGreaterThanOrEqual(0.93);
    all.hits += hits;
    all.asked += asked;
    // Padding is no skill: the usual stated U is not many times what really goes wrong.
    expect(quantile(stated, 0.5)).toBeLessThan(3.5 * quantile(errors, 0.95));
  });

  it("and over all of them at least as often as stated [C61, C62, C63, C64, C65, C66, C70]", () => {
    expect(all.asked).toBeGreaterThan(600);
    expect(all.hits / all.asked).toBeGreaterThanOrEqual(0.95);
  });
});
