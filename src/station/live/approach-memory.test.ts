import { describe, expect, it } from "vitest";
import type { RunView } from "#contract";
import { ApproachMemory, pictureRows } from "./approach-memory.ts";

const viewAt = (at: number, { point = 0, started = 0 } = {}): RunView =>
  ({
    pass: "as-found",
    point,
    setPoint: 100,
    pointStarted: started,
    reference: { at, signal: 138.5, unit: "Ω", temperature: at / 100 },
    source: null,
    items: [
      {
        item: "item-1",
        tag: "T",
        latest: { at, signal: 1, unit: "Ω", temperature: at / 100 + 0.1 },
        error: 0.1,
        tolerance: null,
      },
    ],
    settling: [
      { item: "item-1", target: 0.2, estimate: 0.1, bound: 1 / (at + 1), ready: false, inTheWay: [], forecast: null },
    ],
  }) as unknown as RunView;

describe("the memory of approaches", () => {
  it("keeps each instant once, in columns of equal length", () => {
    const memory = new ApproachMemory();
    for (const at of [2, 2, 4, 4, 6]) memory.add(viewAt(at));
    const approach = memory.at("as-found", 0)!;
    expect(approach.times).toEqual([2, 4, 6]);
    for (const column of [
      approach.reference,
      approach.source,
      approach.items[0]!.bound,
      approach.items[0]!.temperature,
    ])
      expect(column).toHaveLength(3);
    expect(approach.items[0]).toMatchObject({ item: "item-1", target: 0.2 });
  });

  it("stays bounded however long the run, keeps both ends, and stays in order", () => {
    const memory = new ApproachMemory();
    for (let at = 1; at <= 50_000; at += 1) memory.add(viewAt(at));
    const { times } = memory.at("as-found", 0)!;
    expect(times.length).toBeLessThanOrEqual(pictureRows + 1);
    expect(times.length).toBeGreaterThan(pictureRows / 4);
    expect(times[0]).toBeLessThan(500);
    expect(times.at(-1)).toBeGreaterThan(49_500);
    expect(times).toEqual(times.toSorted((a, b) => a - b));
  });

  it("begins anew when a point is repeated, and keeps points apart", () => {
    const memory = new ApproachMemory();
    memory.add(viewAt(10));
    memory.add(viewAt(20, { point: 1, started: 15 }));
    memory.add(viewAt(30, { point: 0, started: 25 }));
    expect(memory.at("as-found", 0)!.times).toEqual([30]);
    expect(memory.at("as-found", 1)!.times).toEqual([20]);
    expect(memory.at("as-left", 0)).toBeNull();
  });
});
