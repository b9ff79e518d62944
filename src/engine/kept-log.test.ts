import { describe, expect, it } from "vitest";
import { evaluate, explain, KeptLog, type Job, type RunEvent } from "#calibration";
import { diagnoseRun } from "#diagnosis";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";
import { conductRamps, switchJob } from "./ramp/ramp-bench.test-support.ts";
import { RunMemory } from "./run-memory.ts";

const by = "Ines Holloway";

const readingsOf = (log: readonly RunEvent[]): number =>
  log.reduce((sum, event) => sum + (event.kind === "readings-taken" ? event.times.length : 0), 0);

/** Wherever the run may be, what was kept gives the digits of the whole log. */
const expectSame = (log: readonly RunEvent[]): void => {
  const kept = new KeptLog();
  log.forEach((event, index) => {
    kept.add(event);
    const looks = event.kind !== "readings-taken" || index % 150 === 0 || index === log.length - 1;
    if (!looks) return;
    const [short, whole] = [kept.events(), log.slice(0, index + 1)];
    const result = evaluate(whole);
    expect(evaluate(short)).toEqual(result);
    expect(diagnoseRun(short)).toEqual(diagnoseRun(whole, result));
    for (const { item, passes } of result.items)
      for (const { pass, points } of passes)
        for (const { point, status } of points)
          if (status === "measured")
            expect(explain(short, { item, pass, point })).toEqual(explain(whole, { item, pass, point }));
  });
};

const jobs: readonly [string, Job, Parameters<typeof conductAnalytic>[2]][] = [
  ["two points", inventedJob(), []],
  ["readings half a second apart", inventedJob({ procedure: { readings: { count: 60, interval: 0.5 } } }), []],
  ["readings far apart", inventedJob({ procedure: { readings: { count: 5, interval: 45 } } }), []],
  [
    "the first point repeated, an ice point at the end",
    inventedJob({ procedure: { repeatFirst: true, closingCheck: { kind: "ice-point", limit: 0.05 } } }),
    [
      {
        when: ({ commands }) => commands.includes("skip-check"),
        command: { command: "skip-check", by, reason: "late" },
      },
    ],
  ],
  [
    "two items, each as it becomes ready, one point from both sides",
    inventedJob({
      second: {},
      procedure: { items: "each", points: [{ temperature: 50 }, { temperature: 90 }, { temperature: 50 }] },
    }),
    [],
  ],
  [
    "a pause of an hour while it measures, and a point skipped",
    inventedJob({ procedure: { points: [50, 80, 100].map((temperature) => ({ temperature })) } }),
    [
      { when: ({ stage }) => stage === "measuring", command: { command: "pause", by } },
      { when: ({ stage, at }) => stage === "paused" && at > 4800, command: { command: "resume", by } },
      { when: ({ point }) => point === 1, command: { command: "skip-point", by, reason: "not needed" } },
    ],
  ],
];

describe("what is kept of a log while its run goes on", () => {
  it.each(jobs)(
    "gives the same result, explanations and diagnosis at every moment: %s [E71]",
    async (_, job, asked) => {
      const { log } = await conductAnalytic(job, {}, asked);
      expect(log.filter(({ kind }) => kind === "point-measured").length).toBeGreaterThanOrEqual(2);
      expectSame(log);
    },
  );

  it("gives the same of the ramps of a switch [E71]", () => {
    const { log } = conductRamps(switchJob({ rate: 0.5, cycles: 2 }));
    expect(log.filter(({ kind }) => kind === "contact-changed").length).toBeGreaterThanOrEqual(2);
    expectSame(log);
  });

  it("does not grow with the readings, and a copy of it is not taken for a whole log [E71]", async () => {
    const job = inventedJob({ procedure: { readings: { count: 20, interval: 0.5 } } });
    const { log } = await conductAnalytic(job, {}, [
      { when: ({ stage, point }) => stage === "settling" && point === 1, command: { command: "pause", by } },
      { when: ({ stage, at }) => stage === "paused" && at > 9000, command: { command: "resume", by } },
    ]);
    const memory = RunMemory.of(log);
    expect(readingsOf(log)).toBeGreaterThan(30_000);
    expect(memory.readings).toBeLessThan(6_000);
    expect(memory.lines).toBe(log.length);
    expect(() => evaluate([...memory.log()])).toThrow(/a line is missing/);
  });
});
