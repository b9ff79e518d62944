import { describe, expect, it } from "vitest";
import { lockStepClock } from "./lock-step-clock.ts";
import { scaledClock } from "./scaled-clock.ts";

const asFastAsItGoes = { speed: Number.POSITIVE_INFINITY };

describe("the lock-step clock", () => {
  it("stands still until somebody sleeps, then is exactly there", async () => {
    const clock = lockStepClock({ ...asFastAsItGoes, startedAt: 3 });
    expect(clock.now()).toBe(3);
    await clock.sleepUntil(10.1);
    expect(clock.now()).toBe(10.1);
    await clock.sleepUntil(5);
    expect(clock.now()).toBe(10.1);
  });

  it("wakes sleepers in the order of their times, then of asking", async () => {
    const clock = lockStepClock(asFastAsItGoes);
    const woken: string[] = [];
    const sleep = async (name: string, at: number) => {
      await clock.sleepUntil(at);
      woken.push(`${name} ${clock.now()}`);
    };
    await Promise.all([sleep("c", 30), sleep("a", 10), sleep("b1", 20), sleep("b2", 20)]);
    expect(woken).toEqual(["a 10", "b1 20", "b2 20", "c 30"]);
  });

  it("a sleeper that sleeps again in between is not overtaken", async () => {
    const clock = lockStepClock(asFastAsItGoes);
    const woken: number[] = [];
    const often = async () => {
      for (let at = 1; at <= 9; at += 1) {
        await clock.sleepUntil(at);
        woken.push(clock.now());
      }
    };
    await Promise.all([often(), clock.sleepUntil(5.5).then(() => woken.push(clock.now()))]);
    expect(woken).toEqual([1, 2, 3, 4, 5, 5.5, 6, 7, 8, 9]);
  });

  it("an aborted sleeper wakes at once and moves no time", async () => {
    const clock = lockStepClock({ speed: 1 });
    const stop = new AbortController();
    const slept = clock.sleepUntil(1000, stop.signal);
    stop.abort();
    await slept;
    expect(clock.now()).toBe(0);
    await clock.sleepUntil(1000, stop.signal);
    expect(clock.now()).toBe(0);
  });

  it("the clock's own signal wakes everybody", async () => {
    const stop = new AbortController();
    const clock = lockStepClock({ speed: 1, signal: stop.signal });
    const slept = Promise.all([clock.sleepUntil(500), clock.sleepUntil(1000)]);
    stop.abort();
    await slept;
    expect(clock.now()).toBe(0);
  });

  it("keeps its pace, the time spent by others counted in", async () => {
    const clock = lockStepClock({ speed: 100 });
    const began = performance.now();
    for (let at = 1; at <= 20; at += 1) await clock.sleepUntil(at);
    const took = performance.now() - began;
    expect(clock.now()).toBe(20);
    expect(took).toBeGreaterThan(195);
    expect(took).toBeLessThan(900);
  });

  it("gives the event loop a turn at every jump, as fast as it may go", async () => {
    const clock = lockStepClock(asFastAsItGoes);
    let turns = 0;
    let counting = true;
    const count = () => {
      turns += 1;
      if (counting) setImmediate(count);
    };
    setImmediate(count);
    for (let at = 1; at <= 100; at += 1) await clock.sleepUntil(at);
    counting = false;
    expect(turns).toBeGreaterThanOrEqual(100);
  });
});

describe("the scaled clock", () => {
  it("is wall time times the speed", async () => {
    const clock = scaledClock({ speed: 200, startedAt: 50 });
    const began = performance.now();
    await clock.sleepUntil(60);
    expect(clock.now()).toBeGreaterThanOrEqual(60);
    expect(performance.now() - began).toBeGreaterThan(48);
    const stop = new AbortController();
    const slept = clock.sleepUntil(1e6, stop.signal);
    stop.abort();
    await slept;
    expect(clock.now()).toBeLessThan(1000);
  });
});
