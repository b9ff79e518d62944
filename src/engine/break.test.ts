import { describe, expect, it } from "vitest";
import type { RunEvent } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";
import type { EngineView } from "./view.ts";

const by = "Ines Holloway";
const settling = ({ point, stage }: EngineView): boolean => point === 1 && stage === "settling";
const kinds = (log: readonly RunEvent[]) => log.map(({ kind }) => kind);

describe("a break", () => {
  it("holds the set point, and goes on where it was [E24]", async () => {
    const { log, bench } = await conductAnalytic(inventedJob(), {}, [
      { when: settling, command: { command: "break", by, hold: true } },
      {
        when: ({ stage, onBreak, at }) => stage === "paused" && onBreak !== null && at > (onBreak.until ?? 0) - 900,
        command: { command: "resume", by },
      },
    ]);
    expect(log.find((event) => event.kind === "break-begun")).toMatchObject({ hold: true, by });
    expect(bench.commanded).toEqual([50, 100]);
    expect(bench.switched).toEqual([true, false]);
    expect(log.at(-1)).toMatchObject({ outcome: "completed" });
  });

  it("in which nobody comes back ends with the source off; what follows is approached anew [E24]", async () => {
    const { log, bench, runner } = await conductAnalytic(inventedJob({ procedure: { unattended: 600 } }), {}, [
      { when: settling, command: { command: "break", by, hold: true, seconds: 7200 } },
      {
        when: ({ faults }) => faults.some(({ code }) => code === "run.unattended"),
        command: { command: "resume", by },
      },
    ]);
    const begun = log.find((event) => event.kind === "break-begun")!;
    // No longer than the procedure allows, whatever was asked for.
    expect(begun).toMatchObject({ until: begun.at + 600 });
    const overrun = log.find((event) => event.kind === "break-overrun")!;
    expect(overrun.at - begun.at).toBeGreaterThanOrEqual(600);
    expect(overrun.at - begun.at).toBeLessThan(620);
    expect(bench.switched).toEqual([true, false, true, false]);
    expect(bench.commanded).toEqual([50, 100, 100]);
    expect(runner.view().outcome).toBe("completed");
  });

  it("can let the source cool, and a power cut in it leaves the run paused with the source off [E17, E24]", async () => {
    const cooled = await conductAnalytic(inventedJob(), {}, [
      { when: settling, command: { command: "break", by, hold: false } },
      { when: ({ stage, at }) => stage === "paused" && at > 3000, command: { command: "resume", by } },
    ]);
    expect(cooled.bench.switched).toEqual([true, false, true, false]);
    const held = await conductAnalytic(inventedJob(), {}, [
      { when: settling, command: { command: "break", by, hold: true } },
    ]);
    const cut = kinds(held.log).lastIndexOf("run-paused") + 3;
    const again = await conductAnalytic(inventedJob(), {}, [], held.log.slice(0, cut));
    expect(again.bench.switched.slice(0, 2)).toEqual([false, true]);
    expect(again.log.at(-1)).toMatchObject({ outcome: "completed" });
  });
});
