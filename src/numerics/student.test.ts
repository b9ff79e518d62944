import { readFileSync } from "node:fs";
import secondOpinion from "@stdlib/stats-base-dists-t-quantile";
import { describe, expect, it } from "vitest";
import { normalCdf, normalQuantile } from "./normal.ts";
import { studentCdf, studentDensity, studentQuantile } from "./student.ts";

const read = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../test/fixtures/numerics/${name}`, import.meta.url), "utf8"));

const distributions = read("distributions.json") as {
  readonly studentTail: readonly (readonly [string, string, string])[];
  readonly studentQuantile: readonly (readonly [string, string, string])[];
};
const tableG2 = read("gum-table-g2.json") as { readonly rows: readonly (readonly [string, string])[] };

const relative = (value: number, expected: number): number => Math.abs(value / expected - 1);

describe("Student's distribution", () => {
  it.each(distributions.studentTail)(
    "P(T > %s), %s degrees of freedom, agrees with 50-digit arithmetic to 2e-14",
    (t, dof, expected) => {
      expect(relative(studentCdf(-Number(t), Number(dof)), Number(expected))).toBeLessThan(2e-14);
    },
  );

  it.each(distributions.studentQuantile)(
    "quantile of %s, %s degrees of freedom, agrees with 50-digit arithmetic to 1e-13",
    (p, dof, expected) => {
      expect(relative(studentQuantile(Number(p), Number(dof)), Number(expected))).toBeLessThan(1e-13);
    },
  );

  it.each(tableG2.rows)(
    "gives the coverage factor of JCGM 100:2008, Table G.2, for %s degrees of freedom",
    (dof, printed) => {
      const decimals = printed.split(".")[1]?.length ?? 0;
      const k = studentQuantile((1 + 0.9545) / 2, dof === "infinity" ? Infinity : Number(dof));
      expect(Math.abs(k - Number(printed))).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-9);
    },
  );

  it("agrees with a second implementation (@stdlib/stats-base-dists-t-quantile) to 1e-9", () => {
    for (const p of [0.001, 0.025, 0.2, 0.45, 0.7, 0.975, 0.9999]) {
      for (const dof of [0.8, 1, 1.5, 2, 3.3, 7, 16.75, 49.2, 300]) {
        expect(relative(studentQuantile(p, dof), secondOpinion(p, dof))).toBeLessThan(1e-9);
      }
    }
  });

  it("goes over into the normal distribution without a step", () => {
    for (const t of [-6, -2, -0.3, 0.4, 3]) {
      expect(relative(studentCdf(t, 9e16), normalCdf(t))).toBeLessThan(1e-12);
      expect(studentCdf(t, 1e300)).toBe(normalCdf(t));
      expect(studentCdf(t, Infinity)).toBe(normalCdf(t));
    }
    expect(studentQuantile(0.97725, Infinity)).toBe(normalQuantile(0.97725));
    expect(relative(studentQuantile(0.97725, 9e16), normalQuantile(0.97725))).toBeLessThan(1e-12);
  });

  it("is symmetric and its own inverse from 0.05 to 1e12 degrees of freedom", () => {
    for (const dof of [0.05, 0.3, 1, 2, 4.5, 30, 1e4, 1e8, 1e12]) {
      for (const p of [1e-12, 0.01, 0.3, 0.49999, 0.6, 0.9]) {
        expect(relative(studentCdf(studentQuantile(p, dof), dof), p)).toBeLessThan(1e-12);
      }
      for (const p of [0.25, 0.0625, 0.375]) expect(studentQuantile(1 - p, dof)).toBe(-studentQuantile(p, dof));
    }
  });

  it("has the derivative of its distribution function as density", () => {
    for (const [t, dof] of [
      [0.3, 0.7],
      [2, 3],
      [1.2, 40],
    ] as const) {
      const step = 1e-5;
      expect(
        relative((studentCdf(t + step, dof) - studentCdf(t - step, dof)) / (2 * step), studentDensity(t, dof)),
      ).toBeLessThan(1e-8);
    }
    expect(studentDensity(1.3, Infinity)).toBeCloseTo(Math.exp(-0.845) / Math.sqrt(2 * Math.PI), 15);
  });

  it("falls off as t^-dof far out, beyond where t² leaves the range of doubles", () => {
    for (const dof of [0.001, 0.05, 0.5]) {
      for (const t of [1e60, 1e90, 1e99, 1e101, 1e120, 1e180]) {
        const tail = studentCdf(-t, dof);
        expect(relative((studentDensity(t, dof) * t) / tail, dof)).toBeLessThan(1e-12);
        expect(relative(studentCdf(-10 * t, dof) / tail, 10 ** -dof)).toBeLessThan(1e-12);
        expect(studentCdf(t, dof)).toBeCloseTo(1 - tail, 15);
      }
    }
  });

  it("leaves the middle as p − 1/2 over the density there", () => {
    for (const dof of [0.3, 1, 4, 1000]) {
      const offset = 2 ** -40;
      expect(relative(studentQuantile(0.5 + offset, dof) * studentDensity(0, dof), offset)).toBeLessThan(1e-13);
    }
  });

  it("answers the ends and what cannot be", () => {
    expect(studentQuantile(0, 3)).toBe(-Infinity);
    expect(studentQuantile(1, 3)).toBe(Infinity);
    expect(studentQuantile(0.5, 3)).toBe(0);
    expect(studentQuantile(0.975, 0.001)).toBe(Infinity);
    expect(studentCdf(Infinity, 3)).toBe(1);
    expect(studentCdf(-Infinity, 3)).toBe(0);
    for (const dof of [0, -1, -2.5, -1e300, -Infinity, NaN]) {
      for (const p of [0, 0.3, 0.5, 0.9, 1]) expect(studentQuantile(p, dof)).toBeNaN();
      for (const t of [-Infinity, -1, 0, 1, 1e200]) {
        expect(studentCdf(t, dof)).toBeNaN();
        expect(studentDensity(t, dof)).toBeNaN();
      }
    }
    for (const dof of [1e-3, 1, 30, 1e17, Infinity]) {
      for (const t of [-Infinity, Infinity]) expect(studentDensity(t, dof)).toBe(0);
      expect(studentDensity(NaN, dof)).toBeNaN();
    }
    for (const p of [-0.1, 1.1, NaN]) expect(studentQuantile(p, 3)).toBeNaN();
    expect(studentCdf(NaN, 3)).toBeNaN();
  });
});
