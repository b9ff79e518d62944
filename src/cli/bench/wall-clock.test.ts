import { describe, expect, it } from "vitest";
import { wallClock } from "./wall-clock.ts";

describe("the clock of a run in real time", () => {
  it("begins where it is told and runs at its speed", async () => {
    const clock = wallClock(100, 50);
    const before = performance.now();
    await clock.sleepUntil(102);
    const took = (performance.now() - before) / 1000;
    expect(clock.now()).toBeGreaterThanOrEqual(102);
    expect(took).toBeGreaterThanOrEqual(0.039);
    expect(took).toBeLessThan(1);
  });

  it("wakes at once when the signal is aborted", async () => {
    const clock = wallClock(0);
    const stop = new AbortController();
    setTimeout(() => stop.abort(), 20);
    const before = performance.now();
    await clock.sleepUntil(3600, stop.signal);
    expect(performance.now() - before).toBeLessThan(2000);
    expect(clock.now()).toBeLessThan(3600);
  });

  it("does not wait for a time that is past", async () => {
    const clock = wallClock(10);
    await clock.sleepUntil(5);
    expect(clock.now()).toBeLessThan(11);
  });
});
