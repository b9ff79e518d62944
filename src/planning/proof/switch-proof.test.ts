import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { loadJob } from "#intake";
import { context } from "../invented-job.test-support.ts";
import { planJob } from "../plan-job.ts";

const text = readFileSync(new URL("../../../examples/temperature-switch.yaml", import.meta.url), "utf8");
const planOf = (change: (yaml: string) => string = (yaml) => yaml) =>
  planJob(unwrap(loadJob(change(text), "temperature-switch.yaml")), context);

describe("whether a job with a switch can prove anything [P5]", () => {
  it("is so as it stands: its trip is a point with a ratio", () => {
    const { obstacles, items } = planOf();
    expect(obstacles.filter(({ code }) => code === "job.cannot-prove")).toEqual([]);
    expect(items[0]!.points.length).toBeGreaterThan(0);
    expect(items[0]!.points[0]!.ratio).toBeGreaterThan(1);
  });

  it("is not so with a single cycle, whose scatter nobody knows, and that is said", () => {
    const { obstacles, ready, items } = planOf((yaml) =>
      yaml.replace(/cycles: 4/u, "cycles: 1").replace(/\n *slowRate:[^\n]*/u, ""),
    );
    expect(ready).toBe(false);
    expect(obstacles).toMatchObject([
      { code: "job.cannot-prove", message: expect.stringMatching(/Only one change was measured.*Repeat the ramp/) },
    ]);
    expect(items[0]!.points).toMatchObject([{ expectedU: null, ratio: null, proves: false }]);
  });
});
