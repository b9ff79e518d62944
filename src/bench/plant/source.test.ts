import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { heatSource, type HeatSource } from "./source.ts";
import { sourceClasses, sourceModels, type SourceClass } from "./source-classes.ts";

const step = 0.25;
const make = (sourceClass: SourceClass, changes: { start?: number; error?: number } = {}): HeatSource =>
  heatSource({
    model: { ...sourceModels[sourceClass], oscillation: 0, unsteadiness: 0 },
    ambient: 23,
    start: changes.start ?? 23,
    startTick: 0,
    step,
    generator: seededGenerator(1),
    controlError: () => changes.error ?? 0,
    roughness: () => 1,
  });

/** Minutes after which the medium stays within a band round where it ends, and by how much it went beyond. */
const approach = (source: HeatSource, target: number, band: number, minutes: number) => {
  source.setPoint(target);
  source.switchOutput(true);
  const course: number[] = [];
  for (let tick = 0; tick < (minutes * 60) / step; tick += 1) {
    source.step();
    course.push(source.medium());
  }
  const end = course.at(-1)!;
  const last = course.findLastIndex((value) => Math.abs(value - end) > band);
  return { settled: ((last + 1) * step) / 60, over: Math.max(...course) - target, end };
};

const steps: Record<SourceClass, { from: number; to: number; band: number; within: [number, number] }> = {
  bath: { from: 50, to: 100, band: 0.01, within: [3, 10] },
  "dry-block": { from: 100, to: 250, band: 0.03, within: [8, 20] },
  furnace: { from: 400, to: 800, band: 0.2, within: [12, 30] },
};

describe.each(sourceClasses)("a %s", (sourceClass) => {
  const { from, to, band, within } = steps[sourceClass];

  it("settles in the time of its class, with little overshoot", () => {
    const { settled, over, end } = approach(make(sourceClass, { start: from }), to, band, 60);
    expect(settled).toBeGreaterThan(within[0]);
    expect(settled).toBeLessThan(within[1]);
    expect(over).toBeLessThan(0.02 * (to - from));
    expect(Math.abs(end - to)).toBeLessThan(0.1);
  });

  it("settles where its control sensor is right, off by the sensor's error", () => {
    expect(approach(make(sourceClass, { start: to, error: 0.4 }), to, band, 90).end).toBeCloseTo(to - 0.4, 2);
  });

  it("never gives more power than it has", () => {
    const { heating, cooling } = sourceModels[sourceClass];
    const source = make(sourceClass);
    source.switchOutput(true);
    for (const target of [to, from, to]) {
      source.setPoint(target);
      for (let tick = 0; tick < 2400; tick += 1) {
        source.step();
        expect(source.power()).toBeLessThanOrEqual(heating);
        expect(source.power()).toBeGreaterThanOrEqual(-cooling);
      }
    }
  });

  it("cools towards ambient, and no further, once its output is off", () => {
    const source = make(sourceClass, { start: to });
    let before = to;
    for (let minute = 0; minute < 600; minute += 1) {
      for (let tick = 0; tick < 60 / step; tick += 1) source.step();
      expect(source.medium()).toBeLessThanOrEqual(before);
      before = source.medium();
    }
    expect(before).toBeGreaterThanOrEqual(23);
    expect(before).toBeLessThan(40);
  });
});
