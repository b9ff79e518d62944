import { describe, expect, it } from "vitest";
import { normalCdf } from "./normal.ts";
import { restoredGenerator, seededGenerator, splitmix64, type Generator } from "./seeded-generator.ts";

const draws = (generator: Generator, count: number): number[] => Array.from({ length: count }, () => generator.next());

describe("seeded generator", () => {
  it("gives the published outputs of splitmix64 (reference implementation, seed 1477776061723855037)", () => {
    expect(splitmix64(1477776061723855037n, 3)).toEqual([
      1985237415132408290n,
      2979275885539914483n,
      13511426838097143398n,
    ]);
  });

  it("gives the published outputs of xoshiro128++ (reference implementation, state 1 2 3 4)", () => {
    // 641, 1573767, 3222811527, 3517856514, 836907274, 4247214768; two 32-bit outputs make one number of 53 bits.
    const generator = restoredGenerator({ algorithm: "xoshiro128++", key: "0000000000000000", words: [1, 2, 3, 4] });
    const made = (high: number, low: number): number => ((high >>> 5) * 2 ** 26 + (low >>> 6)) / 2 ** 53;
    expect(draws(generator, 3)).toEqual([
      made(641, 1573767),
      made(3222811527, 3517856514),
      made(836907274, 4247214768),
    ]);
  });

  it("gives the same digits for the same seed, on any machine", () => {
    const generator = seededGenerator(42);
    expect(draws(generator, 3)).toEqual(draws(seededGenerator(42), 3));
    expect(draws(seededGenerator(42), 3)).not.toEqual(draws(seededGenerator(43), 3));
    expect(new Set([0, 1, -1, 0.5, 2 ** 60, Infinity].map((seed) => seededGenerator(seed).next())).size).toBe(6);
    expect(seededGenerator(-0).next()).toBe(seededGenerator(0).next());
  });

  it("keeps its digits from version to version: stored runs name a seed", () => {
    const generator = seededGenerator(2026);
    expect([generator.normal(), generator.normal(), generator.normal()]).toEqual([
      -0.9164343522583779, -0.7885650719827106, -1.084230660712265,
    ]);
    // How many numbers 100 000 normal draws use up depends on each of their acceptances.
    let [sum, fourth] = [0, 0];
    for (let index = 0; index < 100_000; index += 1) {
      const value = generator.normal();
      sum += value;
      fourth += value ** 4;
    }
    expect(generator.next()).toBe(0.47720166509665174);
    expect(sum).toBeCloseTo(-757.8828918760825, 9);
    // The fourth moment is 3, its variance 96/n.
    expect(Math.abs(fourth / 100_000 - 3)).toBeLessThan(4 * Math.sqrt(96 / 100_000));
    const fresh = seededGenerator(2026);
    expect([fresh.fork("a"), fresh.fork(1), fresh.fork("1"), fresh.fork(-0)].map((stream) => stream.next())).toEqual([
      0.4715933637473836, 0.1759104915206663, 0.9318820805178317, 0.5143877830180044,
    ]);
  });

  it("fills an array with the numbers that it would give one by one, and stands where it would stand then", () => {
    const [one, many] = [seededGenerator(9), seededGenerator(9)];
    const filled = new Float64Array(1001);
    many.fillUniform(filled);
    expect([...filled]).toEqual(draws(one, filled.length));
    expect(many.state()).toEqual(one.state());
    many.fillUniform(new Float64Array(0));
    expect(many.normal()).toBe(one.normal());
  });

  it("carries on from a saved state to the digit", () => {
    const generator = seededGenerator(7).fork("readout");
    draws(generator, 5);
    generator.normal();
    const copy = restoredGenerator(JSON.parse(JSON.stringify(generator.state())) as ReturnType<Generator["state"]>);
    expect(Array.from({ length: 20 }, () => copy.normal())).toEqual(
      Array.from({ length: 20 }, () => generator.normal()),
    );
    expect(copy.fork("x").next()).toBe(generator.fork("x").next());
  });

  it("forks by label, whatever was drawn before, and each stream is its own", () => {
    const fresh = seededGenerator(1);
    const used = seededGenerator(1);
    draws(used, 100);
    expect(used.fork("noise").next()).toBe(fresh.fork("noise").next());
    const streams = [
      fresh,
      fresh.fork("a"),
      fresh.fork("b"),
      fresh.fork(1),
      fresh.fork("1"),
      fresh.fork(2),
      fresh.fork("a").fork("b"),
      fresh.fork("b").fork("a"),
      fresh.fork(""),
    ];
    expect(new Set(streams.map((stream) => stream.next())).size).toBe(streams.length);
    const [left, right] = [fresh.fork("left"), fresh.fork("right")];
    const count = 20_000;
    let product = 0;
    for (let index = 0; index < count; index += 1) product += left.normal() * right.normal();
    expect(Math.abs(product / count)).toBeLessThan(4 / Math.sqrt(count));
  });

  it("is uniform in [0, 1) (chi-square over 64 cells, seed 5)", () => {
    const generator = seededGenerator(5);
    const cells = new Float64Array(64);
    const count = 128_000;
    for (let index = 0; index < count; index += 1) {
      const value = generator.next();
      expect(value >= 0 && value < 1).toBe(true);
      cells[Math.floor(value * 64)]! += 1;
    }
    const expected = count / 64;
    const chiSquare = cells.reduce((sum, found) => sum + (found - expected) ** 2 / expected, 0);
    // 63 degrees of freedom: 0.1 % below 32.5, 0.1 % above 103.4.
    expect(chiSquare).toBeGreaterThan(32.5);
    expect(chiSquare).toBeLessThan(103.4);
  });

  it("draws the normal distribution, far tails included (Kolmogorov-Smirnov and moments, seed 6)", () => {
    const generator = seededGenerator(6);
    const count = 400_000;
    const values = Float64Array.from({ length: count }, () => generator.normal()).sort();
    let distance = 0;
    for (let index = 0; index < count; index += 1) {
      const probability = normalCdf(values[index]!);
      distance = Math.max(distance, Math.abs(probability - index / count), Math.abs(probability - (index + 1) / count));
    }
    expect(distance).toBeLessThan(1.95 / Math.sqrt(count));
    const mean = values.reduce((sum, value) => sum + value, 0) / count;
    const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / count;
    expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(count));
    expect(Math.abs(variance - 1)).toBeLessThan(4 * Math.sqrt(2 / count));
    // Beyond the first layer's edge: 400 000 · 2 · Φ(−3.654) is 103 ± 10.
    const beyond = values.filter((value) => Math.abs(value) > 3.6541528853610088).length;
    expect(beyond).toBeGreaterThan(65);
    expect(beyond).toBeLessThan(145);
  });

  it("refuses what cannot be a seed or a state", () => {
    expect(() => seededGenerator(NaN)).toThrow(RangeError);
    expect(() =>
      restoredGenerator({ algorithm: "xoshiro128++", key: "0000000000000000", words: [0, 0, 0, 0] }),
    ).toThrow(RangeError);
    for (const key of ["not hex", "0123456789abcdef0", "x0123456789abcdef", "0123456789abcde"]) {
      expect(() => restoredGenerator({ algorithm: "xoshiro128++", key, words: [1, 0, 0, 0] })).toThrow(RangeError);
    }
    const state = { algorithm: "xoshiro128++", key: "0123456789abcdef", words: [0, 7, 0, 0] } as const;
    expect(restoredGenerator(state).state()).toEqual(state);
  });
});
