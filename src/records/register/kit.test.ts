import { describe, expect, it } from "vitest";
import { openRecords, type KitRevision, type Records } from "../index.ts";
import { sampleEvents, sampleJob, sampleOpening } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const { reference, readout, source } = sampleJob().kit;

const revision = (driftPerYear = 0.015): KitRevision => ({
  kind: "reference",
  entry: { ...reference, driftPerYear },
  author: "Orla Penhallow (demo)",
  reason: "new calibration",
});

const withRecords = async (act: (records: Records) => Promise<void>): Promise<void> => {
  using folder = new ScratchFolder();
  const records = await openRecords(folder.path, { now: () => "2026-11-20T08:00:00.000Z" });
  try {
    await act(records);
  } finally {
    await records.close();
  }
};

describe("a kit entry that is revised by a person [R18]", () => {
  it("gets its number from the records, and says who revised it and why", async () => {
    await withRecords(async (records) => {
      expect(await records.reviseKit(revision())).toBe(1);
      expect(await records.reviseKit(revision())).toBe(1);
      expect(await records.reviseKit({ ...revision(0.02), reason: "drifts more than thought" })).toBe(2);
      const [newest, first, ...more] = await records.listKit("ref-1");
      expect(more).toEqual([]);
      expect(newest).toMatchObject({
        kind: "reference",
        author: "Orla Penhallow (demo)",
        reason: "drifts more than thought",
        saved: "2026-11-20T08:00:00.000Z",
        entry: { id: "ref-1", revision: 2, driftPerYear: 0.02 },
      });
      expect(first).toMatchObject({ reason: "new calibration", entry: { revision: 1, driftPerYear: 0.015 } });
      expect(newest!.entry).not.toHaveProperty("channel");
    });
  });

  it("goes on from what came with a job", async () => {
    await withRecords(async (records) => {
      await records.saveJob(sampleJob({ rehearsal: false }));
      expect((await records.listKit("bath-1"))[0]).toMatchObject({
        author: "Orla Penhallow (demo)",
        reason: "came with job CV-2611-001",
      });
      const by = { author: "Orla Penhallow (demo)", reason: "characterised anew" };
      expect(await records.reviseKit({ kind: "source", entry: source, ...by })).toBe(1);
      expect(await records.reviseKit({ kind: "source", entry: { ...source, axial: 0.02 }, ...by })).toBe(2);
      expect(await records.reviseKit({ kind: "readout", entry: readout, ...by })).toBe(1);
    });
  });

  it("is refused with the field that cannot stand, and under a name of another kind", async () => {
    await withRecords(async (records) => {
      await records.reviseKit(revision());
      await expect(records.reviseKit(revision(-1))).rejects.toMatchObject({
        code: "input.invalid",
        message: expect.stringMatching(/reference ref-1 cannot be recorded: driftPerYear/),
      });
      const other = { kind: "source", entry: { ...source, id: "ref-1" }, author: "a", reason: "b" } as const;
      await expect(records.reviseKit(other)).rejects.toMatchObject({
        code: "records.conflict",
        message: expect.stringMatching(/ref-1 is the name of a reference/),
      });
      expect(await records.listKit()).toHaveLength(1);
    });
  });
});

describe("findings of the upkeep [R19]", () => {
  it("are numbered, kept as they were given, and listed by entry and kind", async () => {
    await withRecords(async (records) => {
      const found = { entry: "ref-1", kind: "ice-point", at: "2026-11-20T07:00:00Z", author: "Orla Penhallow (demo)" };
      const document = { readings: [100.01, 100.02], verdict: "holds", nested: { z: null, a: "½" } };
      expect(await records.keepFinding({ ...found, document })).toBe(1);
      expect(await records.keepFinding({ ...found, entry: "bath-1", kind: "characterisation", document: [] })).toBe(2);
      expect(await records.keepFinding({ ...found, kind: "pull-test", document: 3 })).toBe(3);
      expect((await records.listFindings()).map(({ number }) => number)).toEqual([3, 2, 1]);
      expect((await records.listFindings("ref-1")).map(({ number }) => number)).toEqual([3, 1]);
      expect(await records.listFindings("ref-1", "ice-point")).toEqual([
        { ...found, number: 1, document, saved: "2026-11-20T08:00:00.000Z" },
      ]);
      await expect(records.keepFinding({ ...found, document: { x: Number.NaN } })).rejects.toThrow(/JSON cannot hold/);
      expect(await records.listFindings()).toHaveLength(3);
    });
  });
});

describe("the runs that used a kit entry [R20]", () => {
  it("are found by serial number, name, revision and day, also where it was put in place on the way", async () => {
    await withRecords(async (records) => {
      const real = { rehearsal: false };
      const one = await records.openRunJournal(sampleOpening("one", real));
      await one.append(sampleEvents().slice(0, 3));
      const spare = { ...reference, id: "ref-2", serial: "1109", revision: 4 };
      const by = "Orla Penhallow (demo)";
      await one.append([{ kind: "kit-replaced", at: 5, reference: spare, earlier: "keep", reason: "dropped", by }]);
      await one.append([{ kind: "kit-replaced", at: 6, reference, earlier: "keep", reason: "found again", by }]);
      await records.openRunJournal({ ...sampleOpening("two", real), opened: "2026-11-19T09:30:00Z" });
      await records.openRunJournal(sampleOpening("practice"));
      const names = async (query: Parameters<Records["runsWithKit"]>[0]): Promise<string[]> =>
        (await records.runsWithKit(query)).map(({ run }) => run);
      const first = { kind: "reference", serial: "1108" } as const;
      expect(await records.runsWithKit({ ...first, to: "2026-11-20T00:00:00Z" })).toEqual([
        { run: "two", opened: "2026-11-19T09:30:00Z", customer: "Marrow & Finch (demo)", rehearsal: false },
      ]);
      expect(await names(first)).toEqual(["two", "one"]);
      expect(await names({ ...first, rehearsals: true })).toEqual(["two", "one", "practice"]);
      expect(await names({ ...first, from: "2026-11-20T00:00:00Z" })).toEqual(["one"]);
      expect(await names({ ...first, revision: 2 })).toEqual([]);
      expect(await names({ kind: "reference", serial: "1109" })).toEqual(["one"]);
      expect(await names({ kind: "reference", serial: "1109", entry: "ref-2", revision: 4 })).toEqual(["one"]);
      expect(await names({ kind: "readout", serial: "1109" })).toEqual([]);
    });
  });
});
