import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { evaluate, parseLog, type RunEvent, type RunOpened } from "#calibration";
import { openRecords } from "#records";
import type { Trace } from "#traceback";
import { dwellpoint } from "./program.test-support.ts";

const worked = parseLog(
  (await readFile(new URL("../fixtures/uncertainty/worked-run.jsonl", import.meta.url), "utf8")).split("\n"),
);

/** The worked run under another name and on another day, not a rehearsal; with another reference where one is named. */
const runOf = (run: string, opened: string, serial = "demo-ref", rehearsal = false): RunEvent[] => {
  const [first, ...rest] = worked as [RunOpened, ...RunEvent[]];
  const reference = { ...first.job.kit.reference, serial };
  return [{ ...first, run, opened, job: { ...first.job, rehearsal, kit: { ...first.job.kit, reference } } }, ...rest];
};

const suspicion = (lines: readonly string[] = []): string =>
  [
    "kit: { kind: reference, serial: demo-ref }",
    "good: 2026-01-12",
    "bad: 2026-11-01",
    "correction: { kind: differences, table: [{ at: 0, add: 0.4 }] }",
    "course: { kind: linear }",
    "reason: found out at its recalibration",
    ...lines,
  ].join("\n");

describe("traceback on the records of a station", () => {
  let folder = "";
  const at = (name: string): string => join(folder, name);

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), "dwellpoint-trace-"));
    const records = await openRecords(at("data"));
    for (const log of [
      runOf("late", "2026-10-30T08:00:00Z"),
      runOf("early", "2026-02-01T08:00:00Z"),
      runOf("before", "2025-12-01T08:00:00Z"),
      runOf("another-probe", "2026-06-01T08:00:00Z", "another"),
      runOf("rehearsed", "2026-06-01T08:00:00Z", "demo-ref", true),
    ])
      await records.importLog(log);
    await records.addCertificate({
      run: "late",
      issued: "2026-10-30T12:00:00Z",
      authorisedBy: "Demo authority",
      decision: null,
      make: () => ({ number: "CV-1", pdf: new Uint8Array([1]) }),
    });
    await records.close();
    await writeFile(at("suspicion.yaml"), suspicion());
  });
  afterAll(() => rm(folder, { recursive: true, force: true }));

  it("evaluates what used the suspect since its last good evidence again, by the day of each run", async () => {
    const { code, stdout } = await dwellpoint(["traceback", at("suspicion.yaml"), "--data", at("data")]);
    expect(code).toBe(0);
    const trace = JSON.parse(stdout) as Trace;
    expect(trace.runs.map(({ run }) => run)).toEqual(["late", "early"]);
    expect(trace.runs[0]!.certificates).toEqual(["CV-1"]);
    expect(trace.toTell[0]).toMatchObject({ customer: "Marrow & Finch (demo)", certificates: ["CV-1"] });
    // 291 of 293 days, and 20 of 293.
    for (const [index, days] of [291, 20].entries()) {
      expect(trace.runs[index]!.applied).toBeCloseTo(days / 293, 12);
      for (const { moved } of trace.runs[index]!.results) expect(moved).toBeCloseTo((-0.4 * days) / 293, 5);
    }
    const [point] = evaluate(runOf("late", "2026-10-30T08:00:00Z")).items[0]!.passes[0]!.points;
    if (point?.status !== "measured") throw new Error("the worked run is measured");
    expect(trace.runs[0]!.results[0]!.before).toMatchObject({ error: point.error.value, U: point.budget.U });
  });

  it("says it in words and as a table", async () => {
    const csv = at("list.csv");
    const words = ["traceback", at("suspicion.yaml"), "--data", at("data"), "--text", "--rehearsals", "--csv", csv];
    const { code, stdout } = await dwellpoint(words);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^6 results of 3 runs evaluated again/);
    expect(stdout).toContain("To be told:\n  Marrow & Finch (demo)");
    expect(stdout).toContain("late  2026-10-30  Marrow & Finch (demo), Boiler house (demo)  certificate CV-1");
    const rows = (await readFile(csv, "utf8")).split("\r\n");
    expect(rows).toHaveLength(1 + 6 + 1);
    expect(rows[1]).toMatch(/^"late","2026-10-30T08:00:00Z","demo-ref",0,"Marrow & Finch \(demo\)",,"CV-1","TT-101"/);
  });

  it("names the line of a suspicion that makes no sense", async () => {
    await writeFile(at("wrong.yaml"), suspicion().replace("bad: 2026-11-01", "bad: 2025-11-01"));
    const { code, stderr, stdout } = await dwellpoint(["traceback", at("wrong.yaml"), "--data", at("data")]);
    expect(code).toBe(1);
    expect(stdout + stderr).toMatch(/found out before its last good evidence/);
  });

  it("wants a suspicion and a folder", async () => {
    for (const words of [[], [at("suspicion.yaml")], ["--data", at("data")]]) {
      const { code } = await dwellpoint(["traceback", ...words]);
      expect(code).toBe(2);
    }
  });
});
