import { describe, expect, it } from "vitest";
import { evaluate, type JobInput, type RunEvent } from "#calibration";
import { conductAnalytic, inventedJob } from "./analytic-bench.test-support.ts";
import { replay } from "./evolve.ts";
import { initialState } from "./open-run.ts";
import type { RunOpened } from "#calibration";
import { viewOf, type EngineView } from "./view.ts";

const by = "Ines Holloway";
const measured = (log: readonly RunEvent[]): string[] =>
  log.flatMap((event) => (event.kind === "point-measured" ? [`${event.pass} ${event.point}`] : []));
const atPoint =
  (point: number, pass = "as-found") =>
  (view: EngineView): boolean =>
    view.pass === pass && view.point === point;
const four = (change: Partial<JobInput["procedure"]> = {}) =>
  inventedJob({
    procedure: { points: [30, 60, 90, 120].map((temperature) => ({ temperature })), ...change },
  });

describe("a point more", () => {
  it("goes where it costs the least way, with its reason and name, and stands in the result [E21]", async () => {
    const { log, bench } = await conductAnalytic(four(), {}, [
      { when: atPoint(0), command: { command: "add-point", by, reason: "in use at 75 °C", temperature: 75 } },
    ]);
    expect(bench.commanded).toEqual([30, 60, 75, 90, 120]);
    expect(measured(log)).toEqual(["as-found 0", "as-found 1", "as-found 4", "as-found 2", "as-found 3"]);
    expect(evaluate(log).items[0]!.passes[0]!.points[4]).toMatchObject({
      status: "measured",
      nominal: 75,
      added: `in use at 75 °C (${by})`,
    });
  });

  it("goes next or last where that is asked for, and from the side that is asked for [E21]", async () => {
    const next = await conductAnalytic(four(), {}, [
      { when: atPoint(0), command: { command: "add-point", by, reason: "r", temperature: 100, where: "next" } },
    ]);
    expect(next.bench.commanded).toEqual([30, 100, 60, 90, 120]);
    const falling = await conductAnalytic(four(), {}, [
      { when: atPoint(0), command: { command: "add-point", by, reason: "r", temperature: 60, direction: "falling" } },
    ]);
    expect(falling.bench.commanded).toEqual([30, 60, 90, 120, 60]);
    expect(evaluate(falling.log).items[0]!.passes[0]!.hysteresis).toMatchObject([
      { nominal: 60, rising: 1, falling: 4 },
    ]);
  });

  it("beyond a limit of kit or item is refused [E4, E21]", async () => {
    const { answers, log } = await conductAnalytic(four(), {}, [
      { when: atPoint(0), command: { command: "add-point", by, reason: "r", temperature: 230 } },
    ]);
    expect(answers[0]).toMatchObject({ ok: false, fault: { code: expect.stringMatching(/out-of-range/) } });
    expect(log.some(({ kind }) => kind === "point-added")).toBe(false);
  });

  it("while as found is measured it is planned as left, too; once that is locked, only there [E9, E21]", async () => {
    const job = inventedJob({
      item: { sensor: { kind: "loop", lower: 0, upper: 150 }, unit: "mA", range: { lower: 0, upper: 150 } },
      procedure: {
        passes: ["as-found", "as-left"],
        adjustment: { kind: "zero-and-span", adjustAbove: 0.5, authorisedBy: by },
      },
    });
    const { log } = await conductAnalytic(job, { item: (temperature) => temperature + 0.4 }, [
      { when: atPoint(0), command: { command: "add-point", by, reason: "r", temperature: 75 } },
      { when: atPoint(0, "as-left"), command: { command: "add-point", by, reason: "r", temperature: 80 } },
    ]);
    expect(log.flatMap((event) => (event.kind === "point-added" ? [`${event.pass} ${event.point}`] : []))).toEqual([
      "as-found 2",
      "as-left 2",
      "as-left 3",
    ]);
    expect(measured(log)).toEqual([
      "as-found 0",
      "as-found 2",
      "as-found 1",
      "as-left 0",
      "as-left 2",
      "as-left 3",
      "as-left 1",
    ]);
  });
});

describe("the order of what is still to come", () => {
  const swap = (point: number, other: number) => ({
    command: "swap-points" as const,
    by,
    reason: "r",
    point,
    with: other,
  });

  it("is changed by letting two points change places [E22]", async () => {
    const { bench, log } = await conductAnalytic(four(), {}, [{ when: atPoint(0), command: swap(1, 3) }]);
    expect(bench.commanded).toEqual([30, 120, 90, 60]);
    expect(evaluate(log).items[0]!.passes[0]!.points.map(({ nominal }) => nominal)).toEqual([30, 60, 90, 120]);
  });

  it("not with a point that is visited already, nor so that a point is reached from the wrong side [E22]", async () => {
    const points = [30, 60, 90, 120].map((temperature) => ({ temperature, direction: "rising" as const }));
    const { answers, bench } = await conductAnalytic(four({ points }), {}, [
      { when: atPoint(1), command: swap(0, 2) },
      { when: atPoint(1), command: swap(2, 3) },
    ]);
    expect(answers.map((answer) => answer.ok)).toEqual([false, false]);
    expect(answers[1]).toMatchObject({ fault: { message: expect.stringMatching(/other side/) } });
    expect(bench.commanded).toEqual([30, 60, 90, 120]);
  });

  it("survives a power cut at any line [E3, E22]", async () => {
    const { log } = await conductAnalytic(four(), {}, [
      { when: atPoint(0), command: { command: "add-point", by, reason: "r", temperature: 75 } },
      { when: atPoint(0), command: swap(1, 3) },
    ]);
    const changed = log.findIndex(({ kind }) => kind === "points-swapped");
    const route = (events: readonly RunEvent[]) =>
      viewOf(replay(initialState(events[0] as RunOpened), events.slice(1))).route.map(({ point }) => point);
    expect(route(log.slice(0, changed))).toEqual([0, 1, 4, 2, 3]);
    expect(route(log.slice(0, changed + 1))).toEqual([0, 3, 4, 2, 1]);
    const again = await conductAnalytic(four(), {}, [], log.slice(0, changed + 5));
    expect(again.log.slice(0, changed + 5)).toEqual(log.slice(0, changed + 5));
    expect(measured(again.log)).toEqual(measured(log));
  });
});
