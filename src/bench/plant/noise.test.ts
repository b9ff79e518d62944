import { expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { flickerNoise, markovNoise, whiteNoise } from "./noise.ts";

const seed = 77;
const count = 40_000;
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
const centred = (values: readonly number[]) => {
  const middle = mean(values);
  return values.map((value) => value - middle);
};
const variance = (values: readonly number[]) => mean(centred(values).map((value) => value ** 2));
const correlation = (values: readonly number[], lag: number) => {
  const moved = centred(values);
  return mean(moved.slice(lag).map((value, index) => value * moved[index]!)) / variance(values);
};

it(`white noise is standard normal and forgets at once (seed ${seed})`, () => {
  const values = Array.from({ length: count }, (_, tick) => whiteNoise(seed, tick));
  // Five standard errors of mean, variance and correlation for 40 000 draws.
  expect(Math.abs(mean(values))).toBeLessThan(0.025);
  expect(Math.abs(variance(values) - 1)).toBeLessThan(0.036);
  for (const lag of [1, 2, 4, 8]) expect(Math.abs(correlation(values, lag))).toBeLessThan(0.025);
  // Share beyond two standard deviations: 4.55 %.
  expect(values.filter((value) => Math.abs(value) > 2).length / count).toBeCloseTo(0.0455, 2);
});

it("white noise is the same at the same tick, and another for another seed", () => {
  expect(whiteNoise(seed, 1234)).toBe(whiteNoise(seed, 1234));
  expect(whiteNoise(seed, 1234)).not.toBe(whiteNoise(seed + 1, 1234));
  const here = Array.from({ length: 5000 }, (_, tick) => whiteNoise(seed, tick) * whiteNoise(seed + 1, tick));
  expect(Math.abs(mean(here))).toBeLessThan(0.07);
});

it("Markov noise has unit variance and correlation e^(−Δ/τ)", () => {
  const noise = markovNoise(seededGenerator(seed), 2.5, 0.25);
  const values = Array.from({ length: count }, () => noise.step());
  expect(variance(values)).toBeCloseTo(1, 0);
  expect(correlation(values, 10)).toBeCloseTo(Math.exp(-1), 1);
});

it("1/f noise does not average away as white noise does", () => {
  const noise = flickerNoise(seededGenerator(seed), 1);
  const values = Array.from({ length: count }, () => noise.step());
  const blocks = (length: number) =>
    Array.from({ length: Math.floor(count / length) }, (_, index) =>
      mean(values.slice(index * length, (index + 1) * length)),
    );
  // White noise would fall by 100; noise of equal power a decade falls far less.
  expect(variance(values) / variance(blocks(100))).toBeLessThan(4);
  expect(variance(values) / variance(blocks(100))).toBeGreaterThan(1.2);
});
