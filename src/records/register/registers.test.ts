import { describe, expect, it } from "vitest";
import type { Job } from "#calibration";
import { openRecords, type Records } from "../index.ts";
import { sampleJob, sampleOpening } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const real = (change: (job: Job) => Job = (job) => job): Job => change(sampleJob({ rehearsal: false }));

const withDrift = (driftPerYear: number, revision = 1): Job =>
  real((job) => ({ ...job, kit: { ...job.kit, reference: { ...job.kit.reference, driftPerYear, revision } } }));

const withRecords = async (act: (records: Records) => Promise<void>): Promise<void> => {
  using folder = new ScratchFolder();
  // The first is taken by the ledger when it is begun.
  let tick = -1;
  const records = await openRecords(folder.path, {
    now: () => `2026-11-20T08:00:${String((tick += 1)).padStart(2, "0")}.000Z`,
  });
  try {
    await act(records);
  } finally {
    await records.close();
  }
};

describe("jobs", () => {
  it("are revised, and the newest is given with the file that it came as [R8]", async () => {
    await withRecords(async (records) => {
      const first = real();
      expect(await records.saveJob(first, { source: "job: one" })).toEqual({ revision: 1, written: true });
      expect(await records.saveJob(first)).toEqual({ revision: 1, written: false });
      const second = { ...first, title: "Another title" };
      expect(await records.saveJob(second, { expected: 1, source: "job: two" })).toEqual({
        revision: 2,
        written: true,
      });
      expect(await records.readJob(first.job)).toEqual({
        job: second,
        source: "job: two",
        revision: 2,
        saved: "2026-11-20T08:00:03.000Z",
      });
      expect(await records.listJobs()).toEqual([await records.readJob(first.job)]);
    });
  });

  it("that were changed by somebody else meanwhile are not overwritten [R8]", async () => {
    await withRecords(async (records) => {
      await records.saveJob(real());
      const changed = { ...real(), title: "Mine" };
      await expect(records.saveJob(changed, { expected: 0 })).rejects.toMatchObject({
        code: "records.conflict",
        message: expect.stringMatching(/saved by somebody else meanwhile/),
      });
      await expect(records.saveJob({ ...changed, job: "CV-9" }, { expected: 3 })).rejects.toMatchObject({
        code: "records.conflict",
      });
      await expect(records.readJob("CV-9")).rejects.toMatchObject({ code: "records.not-found" });
    });
  });
});

describe("items and kit", () => {
  it("come from jobs; an item's description is revised, its wiring and condition are no part of it [R8]", async () => {
    await withRecords(async (records) => {
      await records.saveJob(real());
      const elsewhere = real((job) => ({
        ...job,
        job: "CV-2",
        items: job.items.map((item) => ({ ...item, channel: "item-2", condition: "dented" })),
      }));
      await records.saveJob(elsewhere);
      expect(await records.itemHistory("tt-101")).toHaveLength(1);
      const renamed = real((job) => ({
        ...job,
        job: "CV-3",
        items: job.items.map((item) => ({ ...item, place: "Cold store 2" })),
      }));
      await records.saveJob(renamed);
      const history = await records.itemHistory("tt-101");
      expect(history.map(({ revision, item }) => [revision, item.place])).toEqual([
        [2, "Cold store 2"],
        [1, undefined],
      ]);
      expect(history.every(({ item }) => !("channel" in item) && !("condition" in item))).toBe(true);
      expect(await records.listItems()).toEqual([history[0]]);
    });
  });

  it("a kit revision with other figures is refused with all that came with it; a higher one is taken [R8]", async () => {
    await withRecords(async (records) => {
      await records.saveJob(withDrift(0.015));
      const other = { ...withDrift(0.02), job: "CV-2" };
      await expect(records.saveJob(other)).rejects.toMatchObject({
        code: "records.conflict",
        message: expect.stringMatching(/ref-1 revision 1 is recorded already, with other figures.*higher revision/),
      });
      await expect(records.readJob("CV-2")).rejects.toMatchObject({ code: "records.not-found" });
      await records.saveJob({ ...withDrift(0.02, 2), job: "CV-2" });
      const entries = await records.listKit("ref-1");
      expect(entries.map(({ entry }) => [entry.revision, "driftPerYear" in entry ? entry.driftPerYear : null])).toEqual(
        [
          [2, 0.02],
          [1, 0.015],
        ],
      );
      expect((await records.listKit()).map(({ kind, entry }) => [kind, entry.id])).toEqual([
        ["source", "bath-1"],
        ["readout", "readout-1"],
        ["reference", "ref-1"],
        ["reference", "ref-1"],
      ]);
      expect(entries.every(({ entry }) => !("channel" in entry))).toBe(true);
    });
  });

  it("of a rehearsal are not entered [R14]", async () => {
    await withRecords(async (records) => {
      await records.saveJob(sampleJob());
      expect([await records.listItems(), await records.listKit()]).toEqual([[], []]);
      expect(await records.listJobs()).toHaveLength(1);
    });
  });
});

describe("settings", () => {
  it("are kept until they are set anew [R3]", async () => {
    await withRecords(async (records) => {
      expect(await records.readSetting("station")).toBeUndefined();
      await records.writeSetting("station", { name: "One" });
      await records.writeSetting("station", { name: "Two" });
      expect(await records.readSetting("station")).toEqual({ name: "Two" });
    });
  });
});

describe("a search", () => {
  it("finds words anywhere, capitals and accents aside, also short ones and odd signs [R16]", async () => {
    await withRecords(async (records) => {
      const opening = sampleOpening("run-1", {
        title: "Kühlraum 7, Fühler Ä",
        customer: { name: "Quince & 100 % Co", address: ["x"] },
      });
      await records.openRunJournal(opening);
      await records.openRunJournal(sampleOpening("run-2"));
      const found = async (search: string) => (await records.listRuns({ search })).runs.map(({ run }) => run);
      for (const words of [
        "kuhlraum",
        "KÜHL",
        "fuhler quince",
        "KÜ",
        "7, quince",
        "run-1",
        "0042817 kuhl",
        "100 %",
        "quince & 100",
        " kuhlraum  ",
      ]) {
        expect([words, await found(words)]).toEqual([words, ["run-1"]]);
      }
      expect(await found("tt-101")).toEqual(["run-2", "run-1"]);
      expect(await found("")).toEqual(["run-2", "run-1"]);
      for (const words of ['"', "'", "%%%", "_un", "kuhl AND nothing", "*", "\\", "NEAR(kuhl)", "words: kuhl"])
        expect([words, await found(words)]).toEqual([words, []]);
    });
  });

  it("goes on page by page without losing or repeating a run [R16]", async () => {
    await withRecords(async (records) => {
      for (let index = 0; index < 25; index += 1) await records.openRunJournal(sampleOpening(`run-${index}`));
      const seen: string[] = [];
      let after: number | null | undefined;
      do {
        const page = await records.listRuns({ limit: 10, after: after ?? undefined });
        seen.push(...page.runs.map(({ run }) => run));
        after = page.next;
      } while (after !== null);
      expect(seen).toEqual(Array.from({ length: 25 }, (_, index) => `run-${24 - index}`));
      expect((await records.listRuns({ limit: 3, offset: 20 })).runs.map(({ run }) => run)).toEqual([
        "run-4",
        "run-3",
        "run-2",
      ]);
    });
  });
});
