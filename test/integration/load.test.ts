import { afterAll, describe, expect, it } from "vitest";
import { loadJobOf } from "../../scripts/load-study/load-job.ts";
import { home, removeScratch } from "./program.test-support.ts";
import { startStation } from "./station.test-support.ts";

afterAll(removeScratch);

const channels = 16;
/** Readings that a run may hold at one a second of 17 channels, whatever its length: about five minutes, and what decisions look back at. */
const bound = 16_000;

describe("a station that reads 16 channels for hours", () => {
  it("holds no more readings after 100,000 than after 20,000, and drops none [E71, E72]", async () => {
    const started = await startStation();
    try {
      const points = [40, 60, 80, 60, 40];
      const job = loadJobOf(home, { channels, rate: 1, soak: 1200, points });
      await started.client.addJob(JSON.stringify(job));
      const { run } = await started.client.startRun(job.job, { seed: 5, speed: 100_000 });
      await started.client.command(run, { command: "start" });
      const held: number[] = [];
      let lines = 0;
      for (let view = await started.client.runView(run); lines * 10 < 102_000 && view.stage !== "ended";) {
        await new Promise((resolve) => setTimeout(resolve, 100));
        view = await started.client.runView(run);
        held.push(started.station.held(run));
        const entries = await started.client.run(run);
        lines = Math.floor(view.at / 10) * (channels + 1);
        expect(entries.run).toBe(run);
      }
      await started.client.command(run, { command: "stop" });
      expect(Math.max(...held)).toBeLessThan(bound);
      const log = (await (await started.fetch(`/api/runs/${run}/log`)).text()).trimEnd().split("\n");
      const blocks = log
        .map((line) => JSON.parse(line) as { kind: string; channel: string; code?: string; times: number[] })
        .filter(({ kind }) => kind === "readings-taken");
      const times = new Map<string, number[]>();
      for (const block of blocks) times.set(block.channel, [...(times.get(block.channel) ?? []), ...block.times]);
      expect(times.size).toBe(channels + 1);
      expect([...times.values()].reduce((sum, each) => sum + each.length, 0)).toBeGreaterThan(100_000);
      // Every second of every channel, from the first to the last.
      for (const each of times.values())
        expect(each).toEqual(Array.from({ length: each.length }, (_, index) => each[0]! + index));
      expect(log.some((line) => line.includes("reading.missing"))).toBe(false);
    } finally {
      await started.stop();
    }
  }, 120_000);
});
