import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { paths, problemSchema, StationRefusal } from "#contract";
import { exampleText, removeScratch } from "./program.test-support.ts";
import { startStation, type StartedStation } from "./station.test-support.ts";

let started: StartedStation;
beforeAll(async () => {
  started = await startStation();
});
afterAll(async () => {
  await started.stop();
  await removeScratch();
});

/** Every path of the contract with something in the place of its parameters, without query. */
const asked = Object.values(paths)
  .map((path) => {
    if (typeof path === "string") return path;
    return path === paths.jobReadings
      ? paths.jobReadings("7", "checks")
      : (path as (...words: unknown[]) => string)("7", [7], "7");
  })
  .map((path) => path.split("?")[0]!);

/** Whether a path is one of those that the description has with its parameters in braces. */
const isDescribed = (path: string, described: readonly string[]): boolean =>
  described.some((template) =>
    new RegExp(`^${template.replaceAll(".", "\\.").replaceAll(/\{\w+\}/g, "[^/]+")}$`).test(path),
  );

describe("the API's description", () => {
  it("lists every path of the contract", async () => {
    const answer = await started.fetch("/api/openapi.json");
    const document = (await answer.json()) as {
      openapi: string;
      paths: Record<string, Record<string, { responses?: Record<string, unknown> }>>;
    };
    expect(document.openapi).toBe("3.1.0");
    const described = Object.keys(document.paths);
    expect(asked.filter((path) => !isDescribed(path, described))).toEqual([]);
    expect(isDescribed("/api/nothing", described)).toBe(false);
    expect(Object.keys(document.paths["/api/jobs"]!)).toEqual(expect.arrayContaining(["get", "post"]));
    expect(Object.keys(document.paths["/api/runs/{run}/view"]!["get"]!.responses!)).toContain("200");
  });
});

describe("what the station refuses", () => {
  it("a malformed job, each field with its line, what was expected and what to write", async () => {
    const text = await exampleText("pt100-four-wire", [
      ["    unit: Ω\n", "    unit: ohms\n"],
      [/( +)count: 20|count: 20/, "count: twenty"],
    ]);
    const answer = await started.fetch(paths.jobs, {
      method: "POST",
      headers: { "content-type": "text/plain" },
      body: text,
    });
    expect(answer.status).toBe(422);
    const { error } = problemSchema.parse(await answer.json());
    expect(error.code).toBe("job.invalid");
    const fields = error.data!["fields"] as { line: number; path: string; message: string }[];
    const lines = text.split("\n");
    const unit = fields.find(({ path }) => path.endsWith("unit"))!;
    expect(lines[unit.line - 1]).toContain("unit: ohms");
    expect(unit.message).toContain("Ω");
    const count = fields.find(({ path }) => path.endsWith("count"))!;
    expect(lines[count.line - 1]).toContain("twenty");
    expect(await started.client.jobs()).toEqual([]);
  });

  it("a job of a number that is taken", async () => {
    const text = await exampleText("type-k-thermocouple");
    await started.client.addJob(text);
    await expect(started.client.addJob(text.replace("oven 3", "oven 4"))).rejects.toMatchObject({
      problem: { code: "records.conflict" },
      status: 409,
    });
  });

  it("to run with a reference out of calibration, and says so in the plan", async () => {
    const text = await exampleText("pt100-four-wire", [
      [/due: \S+/, "due: 2020-01-31"],
      [/date: \S+/, "date: 2019-01-31"],
    ]);
    const { job } = await started.client.addJob(text);
    const { plan } = await started.client.job(job);
    expect(plan.ready).toBe(false);
    expect(plan.obstacles[0]).toMatchObject({ code: "kit.out-of-calibration" });
    const refused = (await started.client.startRun(job, {}).catch((error: unknown) => error)) as StationRefusal;
    expect(refused).toBeInstanceOf(StationRefusal);
    expect(refused.problem.code).toBe("kit.out-of-calibration");
    expect(refused.problem.message).toMatch(/was due for calibration on 2020-01-31.*Use another one/);
    expect((await started.client.job(job)).runs).toEqual([]);
  });

  it("what is not there, always in the one shape", async () => {
    for (const path of [
      paths.job("none"),
      paths.run("none"),
      paths.runView("none"),
      paths.runStream("none"),
      paths.runResult("none"),
      paths.runLog("none"),
      paths.certificatePdf("none"),
      "/api/else",
    ]) {
      const answer = await started.fetch(path);
      expect([path, answer.status]).toEqual([path, 404]);
      expect(problemSchema.parse(await answer.json()).error.code).toBe("records.not-found");
    }
    const wrong = await started.fetch(paths.runApproach("none", "sideways", 0));
    expect(wrong.status).toBe(400);
    expect(problemSchema.parse(await wrong.json()).error.code).toBe("input.invalid");
  });
});
