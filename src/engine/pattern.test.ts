import { expect, it } from "vitest";
import { evaluate, type JobInput } from "#calibration";
import { AnalyticBench, inventedJob, JumpingClock, MemoryJournal, openingOf } from "./analytic-bench.test-support.ts";
import { createRunner } from "./runner.ts";

const by = "Ines Holloway";
const points = { points: [{ temperature: 50 }, { temperature: 150 }, { temperature: 180 }] };
const older: JobInput["items"][number]["sensor"] = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9739e-3,
  b: -5.87e-7,
  c: -4.4e-12,
};

/** Conducts a job on a bench on which something else may be connected than the job says. */
const conducted = async (connected: Partial<JobInput["items"][number]>, namePatterns?: boolean) => {
  const job = inventedJob({ procedure: points });
  const clock = new JumpingClock(0);
  const bench = new AnalyticBench(inventedJob({ procedure: points, item: connected }), clock, {});
  const journal = new MemoryJournal([openingOf(job)]);
  const runner = createRunner({
    bench,
    clock,
    journal,
    log: [openingOf(job)],
    ...(namePatterns === undefined ? {} : { namePatterns }),
  });
  await runner.start();
  await runner.command({ command: "start", by });
  await runner.done;
  return journal.events;
};

it("says after a point what the errors so far mean, once, and goes on [E47]", async () => {
  const log = await conducted({ sensor: older });
  const seen = log.filter((event) => event.kind === "fault-seen");
  expect(seen).toHaveLength(1);
  expect(seen[0]).toMatchObject({ code: "pattern.suspected", item: "item-a" });
  expect(seen[0]!.message).toContain("TT-101 has platinum of α = 0.003916");
  // It comes while there is still something to measure, and it takes nothing away from the points.
  const last = log.findLastIndex((event) => event.kind === "point-measured");
  expect(log.indexOf(seen[0]!)).toBeLessThan(last);
  const result = evaluate(log);
  expect(result.outcome).toBe("completed");
  expect(result.items[0]!.passes[0]!.points.map(({ status }) => status)).toEqual(["measured", "measured", "measured"]);
  expect(log.some((event) => event.kind === "run-paused")).toBe(false);
});

it("says nothing of a sound item, and nothing at all where it is not wanted [E47]", async () => {
  expect((await conducted({})).filter((event) => event.kind === "fault-seen" || event.kind === "note-added")).toEqual(
    [],
  );
  expect((await conducted({ sensor: older }, false)).some((event) => event.kind === "fault-seen")).toBe(false);
});
