import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { createSettling, defaultSettling, observe, type SettlingState } from "#settling";

/** A state after so many seconds of readings every two seconds. */
const after = (
  seconds: number,
  target: number,
  reading: (time: number) => { reference: number; item: number },
): SettlingState => {
  let state = createSettling({ ...defaultSettling, target });
  for (let time = 0; time <= seconds; time += 2) state = observe(state, { time, ...reading(time) });
  return state;
};

/** Noise whose correlation dies down with a time constant, sampled every two seconds. */
const wander = (seed: number, timeConstant: number): (() => number) => {
  const generator = seededGenerator(seed);
  const keep = Math.exp(-2 / timeConstant);
  let value = generator.normal();
  return () => {
    value = keep * value + Math.sqrt(1 - keep * keep) * generator.normal();
    return value;
  };
};

const standardDeviation = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

describe("what is stated of the doubt", () => {
  it.each([
    ["white noise", 0.01],
    ["noise correlated over 20 s", 20],
  ])("%s: the estimate's standard uncertainty is what it scatters by, within a half [S2]", (name, timeConstant) => {
    const scores: number[] = [];
    for (let seed = 1; seed <= 200; seed += 1) {
      const noise = wander(seed, timeConstant);
      const { latest } = after(700, 1e-6, () => ({ reference: 100, item: 100.1 + 0.01 * noise() }));
      scores.push((latest!.estimate - 0.1) / latest!.standardUncertainty);
    }
    const spread = standardDeviation(scores);
    process.stdout.write(`${name}: scatter over stated ${spread.toFixed(2)}\n`);
    expect(spread).toBeLessThan(1.5);
    expect(spread).toBeGreaterThan(0.4);
  });

  it("noise alone leaves a tail possible, and the remainder says so: a tail buried in it is covered [S2]", () => {
    let covered = 0;
    const runs = 200;
    for (let seed = 1; seed <= runs; seed += 1) {
      const generator = seededGenerator(seed);
      const { latest } = after(130, 0.05, (time) => ({
        reference: 100,
        item: 100 - 0.03 * Math.exp(-time / 300) + 0.03 * generator.normal(),
      }));
      if (
        latest!.remainder >= 0.03 * Math.exp(-130 / 300) &&
        latest!.remainder >= 1.5 * latest!.slopeStandardError * 300
      )
        covered += 1;
    }
    expect(covered / runs).toBeGreaterThanOrEqual(0.95);
  });

  it("the amplitude of a cycling source's effect stays in the remainder [S13]", () => {
    const period = 250;
    const omega = (2 * Math.PI) / period;
    const lag = 120;
    const gain = 1 / Math.hypot(1, omega * lag);
    const shift = Math.atan(omega * lag);
    const noise = seededGenerator(5);
    let extreme = 0;
    const { latest } = after(1500, 0.1, (time) => {
      const reference = 100 + 0.08 * Math.sin(omega * time);
      const item = 100.1 + 0.08 * gain * Math.sin(omega * time - shift) + 0.001 * noise.normal();
      extreme = Math.max(extreme, Math.abs(item - reference - 0.1));
      return { reference, item };
    });
    expect(latest!.remainder).toBeGreaterThanOrEqual(0.85 * extreme);
    expect(Math.abs(latest!.estimate - 0.1)).toBeLessThan(0.2 * extreme);
  });
});
