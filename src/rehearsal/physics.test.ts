import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { allCells } from "./cells.ts";
import { cellJob, setPointsOf } from "./cell-job.ts";
import { drawChance } from "./draw.ts";
import { defaultPhysics, physicsSchema } from "./physics.ts";
import { pointOutcome } from "./point-outcome.test-support.ts";
import { cellPhysics, runSeed } from "./rehearse-run.ts";
import { figuresOf } from "./table.ts";

const page = readFileSync(join(import.meta.dirname, "../../docs/science/rehearsal.md"), "utf8");

describe("the page on rehearsals", () => {
  it("names every parameter of the physics", () => {
    const section = page.slice(page.indexOf("## What is left to chance"), page.indexOf("## The cells"));
    expect(Object.keys(physicsSchema.shape).filter((name) => !section.includes(`\`${name}\``))).toEqual([]);
  });

  it("names every figure of a table", () => {
    const section = page.slice(page.indexOf("## The columns"), page.indexOf("## What is left to chance"));
    const shortened = ["timeToSoak20", "timeToSoak30", "wholeMinutes", "oracleMinutes"];
    const names = Object.keys(figuresOf([pointOutcome()])).filter((name) => !shortened.includes(name));
    expect(names.filter((name) => !section.includes(`\`${name}\``))).toEqual([]);
  });
});

describe("what is left to chance", () => {
  it("stays within its bounds and fills them", () => {
    const chances = Array.from({ length: 400 }, (_, index) => drawChance(defaultPhysics, runSeed(5, "bounds", index)));
    const [low, high] = defaultPhysics.itemLag;
    const lags = chances.map(({ itemLag }) => itemLag);
    expect(Math.min(...lags)).toBeGreaterThanOrEqual(low);
    expect(Math.max(...lags)).toBeLessThanOrEqual(high);
    expect(Math.min(...lags)).toBeLessThan(low * 1.03);
    expect(Math.max(...lags)).toBeGreaterThan(high / 1.03);
    const falling = chances.filter((chance) => chance.falling).length;
    expect(falling / 400).toBeGreaterThan(0.17);
    expect(falling / 400).toBeLessThan(0.33);
    const errors = chances.map(({ itemError }) => itemError[0]);
    expect(errors.reduce((sum, value) => sum + value ** 2, 0) / 400).toBeGreaterThan(0.8);
    expect(errors.reduce((sum, value) => sum + value ** 2, 0) / 400).toBeLessThan(1.2);
  });

  it("a parameter that changes moves no other draw", () => {
    const changed = physicsSchema.parse({ ...defaultPhysics, ambient: [-5, 60], stemLoss: [0, 0] });
    const { ambient: _ambient, stemLoss: _stem, ...before } = drawChance(defaultPhysics, 9);
    const { ambient: _other, stemLoss, ...after } = drawChance(changed, 9);
    expect(after).toEqual(before);
    expect(stemLoss).toBe(0);
  });

  it("seeds differ by run, by cell and by the seed of the whole, and repeat", () => {
    const seeds = [runSeed(1, "a", 0), runSeed(1, "a", 1), runSeed(1, "b", 0), runSeed(2, "a", 0)];
    expect(new Set(seeds).size).toBe(4);
    expect(runSeed(1, "a", 0)).toBe(seeds[0]);
  });

  it("bounds the wrong way round and unknown parameters are refused", () => {
    expect(physicsSchema.safeParse({ ambient: [28, 18] }).success).toBe(false);
    expect(physicsSchema.safeParse({ itemLag: [0, 1] }).success).toBe(false);
    expect(physicsSchema.safeParse({ itemLags: [1, 2] }).success).toBe(false);
  });
});

it.each(allCells.map((cell) => [cell.name, cell] as const))("cell %s is a job that the engine may run", (_, cell) => {
  const physics = cellPhysics(cell, defaultPhysics);
  const chance = drawChance(physics, 1);
  const temperatures = setPointsOf(cell, physics, chance);
  const job = cellJob(cell, physics, chance, temperatures);
  expect(job.procedure.points.map(({ temperature }) => temperature)).toEqual(temperatures);
  expect(job.kit.source.class).toBe(cell.source);
  const { minimum, maximum } = job.kit.source.range;
  for (const temperature of temperatures) {
    expect(temperature).toBeGreaterThanOrEqual(minimum);
    expect(temperature).toBeLessThanOrEqual(Math.min(maximum, job.kit.reference.range.maximum));
  }
});
