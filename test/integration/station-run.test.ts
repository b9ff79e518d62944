import { createHash } from "node:crypto";
import { afterAll, afterEach, beforeEach, describe, expect, it } from "vitest";
import { parseLog } from "#calibration";
import { approachSchema, paths, runMessageSchema, StationRefusal, type RunMessage } from "#contract";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, untilView, type StartedStation } from "./station.test-support.ts";

let started: StartedStation;
beforeEach(async () => {
  started = await startStation();
});
afterEach(() => started.stop());
afterAll(removeScratch);

const refusal = async (asked: Promise<unknown>): Promise<StationRefusal> => {
  try {
    await asked;
  } catch (error) {
    if (error instanceof StationRefusal) return error;
    throw error;
  }
  throw new Error("It was not refused.");
};

/** Reads a stream to its end, message by message. */
const readStream = async (run: string): Promise<RunMessage[]> => {
  const answer = await started.fetch(paths.runStream(run));
  expect(answer.headers.get("content-type")).toContain("text/event-stream");
  const text = await answer.text();
  return text
    .split("\n\n")
    .filter((block) => block.startsWith("data: "))
    .map((block) => runMessageSchema.parse(JSON.parse(block.slice("data: ".length))));
};

const begin = async (example = "pt100-four-wire") => {
  const { job } = await started.client.addJob(await exampleText(example));
  const { run } = await started.client.startRun(job, { seed: 3 });
  return { job, run };
};

describe("a calibration by the station", () => {
  it("goes from the job through plan, run and result to the certificate", async () => {
    const { client, fetch } = started;
    const { job, run } = await begin();
    const planned = await client.job(job);
    expect(planned.plan).toMatchObject({ ready: true, obstacles: [] });
    const { points } = planned.plan.items[0]!;
    expect(points.map(({ temperature }) => temperature)).toEqual([-20, 0, 50, 100, 150]);
    expect(planned.plan.cautions.join(" ")).toContain("Let them cool below 50 °C");

    expect(await client.runView(run)).toMatchObject({ stage: "ready", commands: expect.arrayContaining(["start"]) });
    const [first, second] = [readStream(run), readStream(run)];
    await client.command(run, { command: "start", by: "Tamsin Roke" });
    const ended = await untilView(client, run, ({ stage }) => stage === "ended");
    expect(ended.outcome).toBe("completed");
    for (const messages of await Promise.all([first, second])) {
      expect(messages.map(({ seq }) => seq)).toEqual(messages.map((_, index) => index));
      expect(messages[0]!.kind).toBe("view");
      expect(messages.at(-1)!.kind).toBe("ended");
      expect(messages.findLast((message) => message.kind === "view")).toMatchObject({ view: { stage: "ended" } });
    }

    const approach = await client.approach(run, "as-found", 3);
    expect(approachSchema.parse(approach).setPoint).toBe(100);
    expect(approach.times.length).toBeGreaterThan(50);
    expect(approach.items[0]!.bound.some((bound) => bound !== null)).toBe(true);

    const { result, check } = await client.result(run);
    expect(check.stops).toEqual([]);
    const measured = result.items[0]!.passes[0]!.points;
    expect(measured).toHaveLength(5);
    // What was planned is what came: the plan is the same evaluation on readings of a bench at rest.
    for (const [index, point] of measured.entries()) {
      if (point.status !== "measured") throw new Error(`Point ${index} is ${point.status}.`);
      expect(point.budget.U / points[index]!.expectedU!).toBeGreaterThan(0.7);
      expect(point.budget.U / points[index]!.expectedU!).toBeLessThan(1.5);
    }

    const preview = await fetch(paths.runPreview(run));
    expect(preview.headers.get("content-type")).toBe("application/pdf");
    const certificate = await client.issue(run, { authorisedBy: "Idris Farrowby" });
    expect(certificate).toMatchObject({
      run,
      job,
      authorisedBy: "Idris Farrowby",
      rehearsal: true,
      decision: "pass",
      tags: ["TT-204"],
    });
    expect(certificate.number).toMatch(/^20\d\d-0001$/);
    const pdf = await fetch(paths.certificatePdf(certificate.number));
    expect(pdf.headers.get("content-type")).toBe("application/pdf");
    expect(pdf.headers.get("content-disposition")).toBe(`inline; filename="${certificate.number}.pdf"`);
    const bytes = Buffer.from(await pdf.arrayBuffer());
    expect(bytes.subarray(0, 5).toString()).toBe("%PDF-");
    const again = Buffer.from(await (await fetch(paths.certificatePdf(certificate.number))).arrayBuffer());
    expect(createHash("sha256").update(again).digest("hex")).toBe(createHash("sha256").update(bytes).digest("hex"));
    const xml = await fetch(paths.certificateXml(certificate.number));
    expect(xml.headers.get("content-type")).toContain("application/xml");
    expect(await xml.text()).toContain("TT-204");
    expect(await client.certificates()).toEqual([certificate]);
    expect((await client.jobs())[0]).toMatchObject({
      stage: "done",
      latestRun: { certificate: certificate.number, state: "ended", measured: 5 },
    });
    expect((await refusal(client.issue(run, { authorisedBy: "Idris Farrowby" }))).problem.code).toBe(
      "records.conflict",
    );

    // The next run of the same item on the same source begins with what this one taught about its pace.
    const { run: next } = await client.startRun(job, { seed: 4 });
    const [opening] = parseLog((await (await fetch(paths.runLog(next))).text()).trim().split("\n"));
    expect(opening).toMatchObject({ learnt: { [result.items[0]!.item]: { rest: { count: expect.any(Number) } } } });
  }, 60_000);

  it("gives the log as it was recorded, and single lines of it", async () => {
    const { client, fetch } = started;
    const { run } = await begin();
    await client.command(run, { command: "start" });
    await untilView(client, run, ({ stage }) => stage === "ended");
    const answer = await fetch(paths.runLog(run));
    expect(answer.headers.get("content-disposition")).toBe(`attachment; filename="${run}.log.jsonl"`);
    const log = parseLog((await answer.text()).split("\n"));
    const { result } = await client.result(run);
    const [point] = result.items[0]!.passes[0]!.points;
    if (point?.status !== "measured") throw new Error("The first point was not measured.");
    const { origin } = point.error;
    const { events } = await client.events(run, origin);
    expect(events.map(({ n }) => n)).toEqual(origin);
    expect(events).toEqual(origin.map((n) => JSON.parse(JSON.stringify(log[n]))));
    expect((await refusal(client.events(run, [99_999]))).status).toBe(404);
  }, 60_000);

  it("pauses, notes, repeats and skips with reasons, and refuses what cannot be done now", async () => {
    const { client } = started;
    const { run } = await begin();
    expect((await refusal(client.command(run, { command: "resume" }))).status).toBe(409);
    await client.command(run, { command: "start" });
    expect(await client.command(run, { command: "pause" })).toMatchObject({ stage: "paused" });
    expect(await client.run(run)).toMatchObject({ state: "paused" });
    await client.command(run, { command: "add-note", text: "Door of the cold store open." });
    expect((await refusal(client.command(run, { command: "skip-point" }))).problem.message).toContain("reason");
    const view = await client.command(run, { command: "skip-point", reason: "source cannot reach it today" });
    expect(view.route[0]).toMatchObject({ status: "skipped", reason: "source cannot reach it today" });
    await untilView(client, run, ({ route }) => route[1]!.status === "measured");
    expect((await refusal(client.issue(run, { authorisedBy: "Idris Farrowby" }))).problem).toMatchObject({
      code: "run.not-allowed",
      message: expect.stringContaining("has not ended"),
    });
    await client.command(run, { command: "stop", reason: "seen enough" });
    expect(await untilView(client, run, ({ stage }) => stage === "ended")).toMatchObject({ outcome: "stopped" });
  }, 60_000);
});

describe("a station that is stopped in the middle of a run", () => {
  it("shows the run as broken off after the next start, and goes on with it from the log", async () => {
    const { client, data } = started;
    const { job, run } = await begin();
    await client.command(run, { command: "start" });
    await untilView(client, run, ({ route }) => route[0]!.status === "measured");
    await started.stop();
    started = await startStation(data);
    expect(await started.client.run(run)).toMatchObject({ state: "interrupted", outcome: null });
    const broken = await started.client.runView(run);
    expect(broken).toMatchObject({ stage: "paused", commands: expect.arrayContaining(["resume"]) });
    expect(broken.sentence.happening).toContain("broken off");
    expect((await started.client.job(job)).stage).toBe("measure");
    // How the first point was approached is worked out from the log.
    expect((await started.client.approach(run, "as-found", 0)).times.length).toBeGreaterThan(20);
    await started.client.command(run, { command: "resume", by: "Tamsin Roke" });
    const ended = await untilView(started.client, run, ({ stage }) => stage === "ended");
    expect(ended.outcome).toBe("completed");
    const { result } = await started.client.result(run);
    expect(result.items[0]!.passes[0]!.points.map(({ status }) => status)).toEqual(Array(5).fill("measured"));
  }, 60_000);
});
