import { describe, expect, it } from "vitest";
import { evaluate, type RunEvent } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";
import { viewOf } from "./view.ts";
import { replay } from "./evolve.ts";
import { initialState } from "./open-run.ts";
import type { RunOpened } from "#calibration";

const by = "Ines Holloway";
const job = inventedJob({ second: {}, procedure: { items: "each" } });
const windows = (log: readonly RunEvent[]) =>
  log.flatMap((event) => (event.kind === "point-measured" ? [`${event.point} ${event.item}`] : []));

describe("several items, each as it becomes ready", () => {
  it("have their own windows, the quick one first; the point is done when all are [E23]", async () => {
    const { log } = await conductAnalytic(job);
    expect(windows(log)).toEqual(["0 item-a", "0 item-b", "1 item-a", "1 item-b"]);
    const [quick, slow] = log.filter((event) => event.kind === "point-measured");
    expect(slow!.from - quick!.to).toBeGreaterThan(20);
    const commanded = log.filter((event) => event.kind === "set-point-commanded");
    expect(commanded[1]!.at).toBeGreaterThanOrEqual(slow!.at);
    const result = evaluate(log);
    const found = result.items.map((item) => item.passes[0]!.points[0]!);
    expect(found.map((point) => point.status === "measured" && point.window.from)).toEqual([quick!.from, slow!.from]);
    // What the screen shows is the mean of the very window that counts.
    const { route } = viewOf(replay(initialState(log[0] as RunOpened), log.slice(1)));
    for (const [index, { error }] of route[0]!.errors.entries())
      expect(found[index]).toMatchObject({ error: { value: expect.closeTo(error, 2) } });
  });

  it("a point skipped for one of them keeps what the others have [E23]", async () => {
    const { log } = await conductAnalytic(job, {}, [
      {
        when: (view) => view.point === 0 && view.route[0]!.errors.length === 1,
        command: { command: "skip-point", by, reason: "the thick well takes too long" },
      },
    ]);
    const [quick, slow] = evaluate(log).items.map((item) => item.passes[0]!.points[0]!);
    expect(quick).toMatchObject({ status: "measured" });
    expect(slow).toMatchObject({ status: "skipped", reason: expect.stringContaining("thick well") });
  });

  it("that were measured before a power cut are not measured again at that point [E3, E23]", async () => {
    const { log } = await conductAnalytic(job);
    const cut = log.findIndex((event) => event.kind === "point-measured") + 4;
    const again = await conductAnalytic(job, {}, [], log.slice(0, cut));
    expect(windows(again.log)).toEqual(["0 item-a", "0 item-b", "1 item-a", "1 item-b"]);
  });
});
