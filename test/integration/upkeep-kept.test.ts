import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { forecast, jobSchema, type Job } from "#calibration";
import { unwrap } from "#fault";
import { loadJob } from "#intake";
import { openRecords, type Records } from "#records";
import { approveUpkeep, keepUpkeep } from "#station";
import { upkeepDocumentSchema, type UpkeepDocument } from "#upkeep";

const root = join(import.meta.dirname, "..", "..");
let folder: string;
let records: Records;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "dwellpoint-kept-"));
  records = await openRecords(folder);
});
afterEach(async () => {
  await records.close();
  await rm(folder, { recursive: true, force: true });
});

const exampleJob = async (): Promise<Job> =>
  unwrap(loadJob(await readFile(join(root, "examples", "pt100-four-wire.yaml"), "utf8"), "pt100-four-wire.yaml"));

/** Three stays that say how far two heights lie apart, with the source of a job. */
const characterisationOf = (job: Job, over: object = {}): UpkeepDocument => {
  const stay = (start: number, height: number, difference: number) => ({
    part: "axial",
    temperature: 75,
    height,
    readings: {
      time: [0, 10, 20, 30].map((at) => start + at),
      fixed: [75, 75, 75, 75],
      moved: [0, 0.0002, -0.0002, 0].map((noise) => 75 + difference + noise),
    },
  });
  const display = { sensor: { kind: "indication" }, unit: "°C", resolution: 0.0001 };
  return upkeepDocumentSchema.parse({
    upkeep: 1,
    kind: "characterisation",
    at: "2026-11-20T08:00:00Z",
    by: "Orla Penhallow (demo)",
    source: job.kit.source,
    fixed: { id: "check-1", ...display },
    moved: { id: "thin-1", ...display },
    visits: [stay(0, 0, 0.01), stay(600, 40, 0.0143), stay(1200, 0, 0.01)],
    ...over,
  });
};

const approval = { by: "Idris Farrowby (demo)", reason: "yearly characterisation" };

const budgetOf = (job: Job) => {
  const [item] = forecast(job, { day: "2026-11-25", target: () => 0.01 }).items;
  const point = item!.points.find((each) => "result" in each && "budget" in each.result);
  if (point === undefined || !("result" in point) || !("budget" in point.result)) throw new Error("no foreseen budget");
  return point.result.budget.lines;
};

describe("what a characterisation found, in the records and in the next job's budget", () => {
  it("[K26] kept, approved, and the job with the new revision has the figure and the finding as its source", async () => {
    const job = await exampleJob();
    const kept = unwrap(await keepUpkeep(records, characterisationOf(job), approval));
    expect(kept.revision).toBe(1);
    const [newest] = await records.listKit(job.kit.source.id);
    if (newest?.kind !== "source") throw new Error("no source in the records");
    const before = budgetOf(job).find(({ id }) => id === "source.axial")!;
    const after = budgetOf(jobSchema.parse({ ...job, kit: { ...job.kit, source: newest.entry } })).find(
      ({ id }) => id === "source.axial",
    )!;
    const found = kept.result.figures[0]!;
    expect(after.u).toBeCloseTo(found.limit! / Math.sqrt(3), 9);
    expect(after.u).not.toBeCloseTo(before.u, 4);
    expect(after.source).toContain("characterisation of 2026-11-20");
    expect(after.source).toContain(`finding ${kept.finding}`);
    expect(before.source).not.toContain("finding");
  });

  it("[K26] without an approval it is only kept, and may be approved later", async () => {
    const job = await exampleJob();
    const kept = unwrap(await keepUpkeep(records, characterisationOf(job), null));
    expect(kept.revision).toBeNull();
    expect(await records.listKit(job.kit.source.id)).toEqual([]);
    const [finding] = await records.listFindings(job.kit.source.id);
    expect(unwrap(await approveUpkeep(records, finding!, approval))).toBe(1);
    const [newest] = await records.listKit(job.kit.source.id);
    expect(newest).toMatchObject({ author: "Idris Farrowby (demo)", reason: "yearly characterisation (finding 1)" });
  });

  it("[K26] a revision made meanwhile is not undone: only what was tested changes", async () => {
    const job = await exampleJob();
    const { revision: _number, ...entry } = { ...job.kit.source, loading: 0.123, description: "Revised meanwhile" };
    await records.reviseKit({ kind: "source", entry, author: "Tamsin Wray (demo)", reason: "new insert" });
    const kept = unwrap(await keepUpkeep(records, characterisationOf(job), approval));
    expect(kept.revision).toBe(2);
    const [newest] = await records.listKit(job.kit.source.id);
    expect(newest!.entry).toMatchObject({ loading: 0.123, description: "Revised meanwhile" });
  });

  it("[K26] a test on the simulated bench never becomes a revision", async () => {
    const job = await exampleJob();
    const outcome = await keepUpkeep(records, characterisationOf(job, { rehearsal: true }), approval);
    expect(outcome).toMatchObject({ ok: false, fault: { code: "run.not-allowed" } });
    expect(await records.listKit(job.kit.source.id)).toEqual([]);
  });
});

describe("checks of a reference in the records", () => {
  const check = async (at: string, shift: number): Promise<UpkeepDocument> => {
    const { kit } = await exampleJob();
    const time = Array.from({ length: 121 }, (_, index) => index * 5);
    const { sensor } = kit.reference;
    if (sensor.kind !== "platinum" || sensor.equation !== "its-90") throw new Error("another reference");
    const at0 = sensor.rtpw * 0.999_960_1;
    return upkeepDocumentSchema.parse({
      upkeep: 1,
      kind: "reference-check",
      at,
      by: "Orla Penhallow (demo)",
      reference: kit.reference,
      point: "ice-point",
      readings: { time, signal: time.map((second) => at0 + 0.3989 * (shift + 0.0002 * Math.sin(second))) },
    });
  };

  it("[K26] a check takes the earlier ones of the records as its history, and is whole by itself from then on", async () => {
    for (let week = 0; week < 9; week += 1)
      unwrap(
        await keepUpkeep(
          records,
          await check(`2026-0${4 + Math.floor(week / 4)}-${10 + (week % 4) * 5}T08:00:00Z`, 0.001 * (week % 3)),
          null,
        ),
      );
    const kept = unwrap(await keepUpkeep(records, await check("2026-07-01T08:00:00Z", 0.0005), null));
    if (kept.result.kind !== "reference-check") throw new Error("another kind of result");
    expect(kept.result.chart!.points).toHaveLength(10);
    expect(kept.result.chart!.limits).toMatchObject({ from: 9 });
    const [finding] = await records.listFindings(kept.result.entry.id, "reference-check");
    expect((finding!.document as { earlier: unknown[] }).earlier).toHaveLength(9);
  });

  it("[K26] a new R(TPW) is refused where the coefficients were changed since the check", async () => {
    const document = await check("2026-07-01T08:00:00Z", 0.03);
    const kept = unwrap(await keepUpkeep(records, document, null));
    const { kit } = await exampleJob();
    const { channel: _channel, revision: _revision, ...entry } = kit.reference;
    if (entry.sensor.kind !== "platinum" || entry.sensor.equation !== "its-90") throw new Error("another reference");
    const { checkValues: _report, ...calibration } = entry.calibration;
    const recalibrated = { ...entry, calibration, sensor: { ...entry.sensor, rtpw: 100.02 } };
    await records.reviseKit({
      kind: "reference",
      entry: recalibrated,
      author: "Orla Penhallow (demo)",
      reason: "recalibrated",
    });
    const [finding] = await records.listFindings(kept.result.entry.id);
    await expect(approveUpkeep(records, finding!, approval)).rejects.toThrow("changed after this check");
  });
});
