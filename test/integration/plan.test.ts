import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { evaluate, parseLog, type MeasuredPoint } from "#calibration";
import { StationRefusal, type Plan } from "#contract";
import { dwellpoint, exampleFile, exampleText, removeScratch, scratch } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";

afterAll(removeScratch);

type PlannedPoint = Plan["items"][number]["points"][number];
const pointsOf = (line: Record<string, unknown> | undefined): readonly PlannedPoint[] =>
  (line as unknown as Plan).items[0]!.points;

/** Bands in which a run must come out: U as a share of the foreseen one, and each point's time in its interval. */
const uBand = { least: 0.8, most: 1.25 };

describe("what was foreseen and what a run on the simulated bench then states [P1, P11]", () => {
  it.each(["pt100-four-wire", "type-k-thermocouple"])("%s", async (name) => {
    const folder = await scratch();
    const job = await exampleFile(folder, name);
    const before = pointsOf((await dwellpoint(["plan", job])).lines[0]);
    const { lines } = await dwellpoint(["run", job, "--out", folder, "--speed", "max", "--seed", "11"]);
    const path = String((lines.at(-1) as { log: string }).log);
    const log = parseLog((await readFile(path, "utf8")).split("\n"));
    const measured = evaluate(log).items[0]!.passes[0]!.points as readonly MeasuredPoint[];
    expect(measured.map(({ status }) => status)).toEqual(before.map(() => "measured"));
    for (const [index, { budget, window }] of measured.entries()) {
      const foreseen = before[index]!;
      expect(budget.U / foreseen.expectedU!).toBeGreaterThan(uBand.least);
      expect(budget.U / foreseen.expectedU!).toBeLessThan(uBand.most);
      const commanded = log.find((event) => event.kind === "set-point-commanded" && event.point === index)!;
      const seconds = window.to - commanded.at;
      expect(seconds).toBeGreaterThan(foreseen.time.shortest - 60);
      expect(seconds).toBeLessThan(foreseen.time.longest);
    }

    // What the run taught brings the next plan nearer to it.
    const after = pointsOf((await dwellpoint(["plan", job, "--runs", path])).lines[0]);
    const took = measured.at(-1)!.window.to;
    const total = (points: readonly PlannedPoint[]): number => points.reduce((sum, { time }) => sum + time.seconds, 0);
    expect(Math.abs(total(after) - took)).toBeLessThan(Math.abs(total(before) - took));
    expect(Math.abs(total(after) / took - 1)).toBeLessThan(0.15);
    expect(after.map(({ expectedU }) => expectedU)).toEqual(before.map(({ expectedU }) => expectedU));
  });
});

describe("plans of the station", () => {
  let started: StartedStation;
  beforeAll(async () => {
    started = await startStation();
    await started.client.addJob(await exampleText("pt100-four-wire"));
    await started.client.addJob(await exampleText("transmitter-4-20"));
  });
  afterAll(() => started.stop());

  it("a job's plan is the command's, and its other order can be taken until a run is open [P6]", async () => {
    const { client } = started;
    const before = await client.job("CV-2611-002");
    const line = (await dwellpoint(["plan", await exampleFile(await scratch(), "pt100-four-wire")])).lines[0];
    expect(before.plan.items[0]!.points.map(({ expectedU }) => expectedU)).toEqual(
      pointsOf(line).map(({ expectedU }) => expectedU),
    );
    const { order } = before.plan;
    expect(order.differs).toBe(true);
    const after = await client.takeOrder("CV-2611-002", order.points);
    expect(after.job.procedure.points.map(({ temperature }) => temperature)).toEqual(order.temperatures);
    expect(after.plan.order.differs).toBe(false);
    expect(after.plan.time.whole).toBeCloseTo(before.plan.time.whole - order.saves, 6);

    for (const points of [
      [0, 1],
      [0, 0, 1, 2, 3],
      [0, 1, 2, 3, 9],
    ])
      await expect(client.takeOrder("CV-2611-002", points)).rejects.toThrow(StationRefusal);

    const run = await client.startRun("CV-2611-002", { speed: 50_000, seed: 3 });
    await expect(client.takeOrder("CV-2611-002", [4, 3, 2, 1, 0])).rejects.toMatchObject({ status: 409 });
    const { commands } = await client.runView(run.run);
    expect(commands).toContain("start");
    await client.command(run.run, { command: "start", by: "Orla Penhallow" });
    const view = await untilView(client, run.run, ({ stage }) => stage === "ended");
    expect(view.route.map(({ temperature }) => temperature)).toEqual(order.temperatures);

    // The run has taught the pace of its source [P10].
    const taught = await client.job("CV-2611-002");
    expect(taught.plan.time.basis).toContain("earlier approaches of bath-2");
    expect(taught.plan.time.longest - taught.plan.time.shortest).toBeLessThan(
      after.plan.time.longest - after.plan.time.shortest,
    );
  });

  it("a day over both jobs, and what of it does not fit [P15, P16]", async () => {
    const { client } = started;
    const day = await client.day({ jobs: "CV-2611-002,CV-2611-003", start: "07:00" });
    expect(day.entries[0]!.start).toBe("07:00");
    expect(day.entries.filter(({ kind }) => kind === "set-up")).toHaveLength(2);
    expect(day.leftOut).toEqual([]);
    const short = await client.day({ jobs: "CV-2611-002,CV-2611-003", start: "07:00", end: "09:00" });
    expect(short.leftOut.length).toBeGreaterThan(0);
    await expect(client.day({ jobs: "nobody" })).rejects.toMatchObject({ status: 404 });
    await expect(client.day({ jobs: "CV-2611-002", start: "10:00", end: "09:00" })).rejects.toMatchObject({
      status: 400,
    });
  });

  it("the kits of its other jobs beside a job's own [P13]", async () => {
    const { kits, best } = await started.client.kits("CV-2611-003");
    expect(kits.map(({ name }) => name)).toEqual(["The job's own kit", "With bath-2"]);
    expect(kits.every(({ goodEnough }) => goodEnough)).toBe(true);
    expect(best).not.toBeNull();
  });
});

it("plan and run read the same job file", async () => {
  const folder = await scratch();
  const { code, error } = await dwellpoint(["plan", join(folder, "nothing.yaml")]);
  expect([code, error!.code]).toEqual([1, "input.invalid"]);
});
