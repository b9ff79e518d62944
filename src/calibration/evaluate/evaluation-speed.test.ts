import { expect, it } from "vitest";
import { evaluate } from "./evaluate.ts";
import { InventedRun, inventedJob, thermocouple } from "./invented-run.test-support.ts";

const temperatures = [0, 50, 100, 200, 300, 400];

/** Three channels at 1 Hz for `hours`, six points, blocks of ten readings as the engine writes them. */
const longRun = (hours: number): InventedRun["events"] => {
  const job = inventedJob({
    items: [thermocouple],
    procedure: { ...inventedJob().procedure, points: temperatures.map((temperature) => ({ temperature })) },
  });
  const run = new InventedRun(job).begin();
  for (let point = 0; point < temperatures.length; point += 1) {
    const end = (point + 1) * ((hours * 3600) / temperatures.length) - 660;
    for (let start = run.at; start < end; start += 10) {
      const times = Array.from({ length: 10 }, (_, index) => start + index + 1);
      run.readings(
        "reference",
        "Ω",
        times,
        times.map((time) => 100 + (time % 7)),
      );
      run.readings(
        "item-1",
        "mV",
        times,
        times.map((time) => (time % 5) / 10),
      );
      run.readings(
        "junction",
        "°C",
        times,
        times.map(() => 23),
      );
    }
    run.measure({ point, noise: 0.003, count: 60, interval: 1 });
  }
  return run.end();
};

const bestOf = (log: InventedRun["events"], rounds: number): number => {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < rounds; round += 1) {
    const start = performance.now();
    evaluate(log);
    best = Math.min(best, performance.now() - start);
  }
  return best;
};

it("evaluates a run of 6 points, 3 channels, 3 h at 1 Hz in 20 ms or less, and four times as much in proportion", () => {
  const [three, twelve] = [longRun(3), longRun(12)];
  bestOf(three, 3);
  expect(bestOf(three, 10)).toBeLessThan(20);
  expect(bestOf(twelve, 10)).toBeLessThan(80);
});
