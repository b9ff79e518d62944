import { expect, it } from "vitest";
import { inventedJob, conductAnalytic } from "./analytic-bench.test-support.ts";
import { replay } from "./evolve.ts";
import { initialState } from "./open-run.ts";
import { viewOf } from "./view.ts";

it("tells from the first points on when all of them will be done, and holds to it [S16]", async () => {
  const job = inventedJob({ procedure: { points: [30, 60, 90, 120, 150].map((temperature) => ({ temperature })) } });
  const { log } = await conductAnalytic(job, {});
  const [opened, ...rest] = log;
  if (opened?.kind !== "run-opened") throw new Error("no opening");
  const done = rest.findLast(({ kind }) => kind === "point-measured")!.at;
  const foretold = (share: number) => {
    const until = rest.findLastIndex(({ at }) => at <= share * done);
    return viewOf(replay(initialState(opened), rest.slice(0, until + 1))).finish;
  };
  for (const share of [0.3, 0.5, 0.7, 0.9]) {
    const finish = foretold(share);
    expect(finish, `at ${share}`).not.toBeNull();
    expect(Math.abs(finish!.at - done)).toBeLessThan(0.15 * done);
    expect(finish!.from).toBeLessThanOrEqual(done);
    expect(finish!.to).toBeGreaterThanOrEqual(done);
  }
  expect(viewOf(initialState(opened)).finish).toBeNull();
  expect(viewOf(replay(initialState(opened), rest)).finish).toBeNull();
});
