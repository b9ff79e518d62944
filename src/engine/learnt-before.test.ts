import { beforeAll, describe, expect, it } from "vitest";
import { parseLog, type RunEvent, type RunEventOf } from "#calibration";
import { conductAnalytic, inventedJob, openingOf } from "./analytic-bench.test-support.ts";
import { learntBefore, type LearntBefore } from "./learnt-before.ts";
import { openRun } from "./open-run.ts";

const job = inventedJob({ procedure: { points: [60, 110].map((temperature) => ({ temperature })) } });
const without = (log: readonly RunEvent[]): unknown[] => log.slice(1);

describe("what an earlier run taught about the time that points take", () => {
  let earlier: readonly RunEvent[];
  let learnt: LearntBefore;

  beforeAll(async () => {
    ({ log: earlier } = await conductAnalytic(job));
    learnt = await learntBefore(job, true, [earlier]);
  });

  it("is learnt from its log, for the same items on the same source, real or simulated alike [S16]", async () => {
    expect(Object.keys(learnt)).toEqual(job.items.map(({ id }) => id));
    expect(Object.values(learnt).every(({ way, rest }) => way.count + rest.count >= 2)).toBe(true);
    const renamed = { ...job, items: job.items.map((item) => ({ ...item, id: "new-name" })) };
    expect(await learntBefore(renamed, true, [earlier])).toEqual({ "new-name": Object.values(learnt)[0] });
    expect(await learntBefore(job, false, [earlier])).toEqual({});
    const { source } = job.kit;
    expect(
      await learntBefore({ ...job, kit: { ...job.kit, source: { ...source, serial: "x" } } }, true, [earlier]),
    ).toEqual({});
    const other = { ...job, items: job.items.map((item) => ({ ...item, serial: "x" })) };
    expect(await learntBefore(other, true, [earlier])).toEqual({});
    expect(await learntBefore(job, true, [])).toEqual({});
  });

  it("stands in the new run's first line, and changes no decision of it [S16]", async () => {
    const { catalog, opened, run, seed, software } = openingOf(job);
    const opening = openRun({ job, run, opened, seed, software, catalog, learnt });
    expect(parseLog([JSON.stringify(opening)])[0]).toMatchObject({ learnt });
    const { log } = await conductAnalytic(job, {}, [], [opening]);
    expect(without(log)).toEqual(without(earlier));
    expect(openRun({ job, run, opened, seed, software, catalog, learnt: {} })).not.toHaveProperty("learnt");
  });

  it("is handed on from run to run [S16]", async () => {
    const opening = openRun({ ...openingOf(job), learnt });
    const { log } = await conductAnalytic(job, {}, [], [opening]);
    const next = Object.values(await learntBefore(job, true, [log]))[0]!;
    const first = Object.values(learnt)[0]!;
    expect(next.rest.count + next.way.count).toBeGreaterThan(first.rest.count + first.way.count);
    const settled = log.filter((event): event is RunEventOf<"point-settled"> => event.kind === "point-settled");
    expect(settled).toHaveLength(2);
  });
});
