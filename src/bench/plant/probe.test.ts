import { expect, it } from "vitest";
import { probeInWell } from "./probe.ts";

const step = 0.25;
const ambient = 23;

/** What is still missing of a unit step after two lags in a row. */
const missing = ([element, sheath]: readonly [number, number], time: number) =>
  (element * Math.exp(-time / element) - sheath * Math.exp(-time / sheath)) / (element - sheath);

it.each([
  [0.01, 0.000_1],
  [0.25, 0.005],
])("a probe of two lags answers a step by the closed form, on a grid of %s s to %s K in 100 K", (grid, agreement) => {
  const lags = [28, 6] as const;
  const probe = probeInWell({ lags, stemLoss: 0 }, ambient, 20, grid);
  // The step is a line within the first tick: for what follows, a step in its middle.
  for (let tick = 1; tick * grid <= 300; tick += 1) {
    const answer = probe.step(120);
    expect(Math.abs(answer - (120 - 100 * missing(lags, (tick - 0.5) * grid)))).toBeLessThan(agreement);
  }
});

it("a loose fit leaves its share behind, fading with its own lag", () => {
  const probe = probeInWell({ lags: [10, 2], looseFit: { share: 0.05, lag: 300 }, stemLoss: 0 }, ambient, 0, step);
  for (let time = step; time <= 600; time += step) probe.step(100);
  // After 600 s only the slow share is missing: 5 % of 100 K times e^(−600/300), seen through lags that sum to 12 s.
  const expected = 5 * Math.exp(-(600 - 12) / 300);
  expect(100 - probe.element()).toBeCloseTo(expected, 2);
});

it("loses heat along the stem: hot reads low, cold reads high, ambient reads right", () => {
  for (const [well, reads] of [
    [323, 322.7],
    [-77, -76.9],
    [23, 23],
  ] as const) {
    const probe = probeInWell({ lags: [5, 1], stemLoss: 0.001 }, ambient, well, step);
    for (let tick = 0; tick < 400; tick += 1) probe.step(well);
    expect(probe.element()).toBeCloseTo(reads, 9);
  }
});
