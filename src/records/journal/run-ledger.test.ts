import { describe, expect, it } from "vitest";
import type { EventDraft } from "#calibration";
import { openRecords, type Records } from "../index.ts";
import { sampleEvents, sampleOpening, sampleReadings } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const note = (text: string, at = 100): EventDraft => ({ kind: "note-added", at, text, by: "Orla Penhallow (demo)" });

const withRecords = async (act: (records: Records, folder: ScratchFolder) => Promise<void>): Promise<void> => {
  using folder = new ScratchFolder();
  const records = await openRecords(folder.path);
  try {
    await act(records, folder);
  } finally {
    await records.close();
  }
};

describe("the journal of a run in the database", () => {
  it("numbers what is appended at the same time without a gap, in the order of asking [R2]", async () => {
    await withRecords(async (records) => {
      const journals = await Promise.all(["one", "two"].map((run) => records.openRunJournal(sampleOpening(run))));
      const answers = await Promise.all(
        Array.from({ length: 200 }, (_, index) => journals[index % 2]!.append([note(`${index}`)])),
      );
      expect(answers.map(([event]) => event!.n)).toEqual(answers.map((_, index) => Math.floor(index / 2) + 1));
      for (const [side, run] of ["one", "two"].entries()) {
        const texts = (await records.readLog(run)).flatMap((event) =>
          event.kind === "note-added" ? [event.text] : [],
        );
        expect(texts).toEqual(Array.from({ length: 100 }, (_, index) => `${2 * index + side}`));
        expect(await records.verifyChain(run)).toMatchObject({ whole: true, entries: 101 });
      }
    });
  });

  it.each<[string, readonly EventDraft[], RegExp]>([
    [
      "a run opened twice",
      [sampleOpening()],
      /run-opened cannot be recorded as line 3 of the log: the run is open already/,
    ],
    ["a clock that goes back", [note("later", 20), note("before", 19)], /its time, 19 s, is before 20 s/],
    ["a reading that is not a number", [{ ...sampleReadings(5), values: [Number.NaN] } as EventDraft], /values\.0/],
    ["half a character", [note("\ud83d")], /which JSON cannot hold/],
  ])("refuses %s as a whole call, and others go on [R2, R4]", async (_, drafts, words) => {
    await withRecords(async (records) => {
      const journal = await records.openRunJournal(sampleOpening());
      const other = await records.openRunJournal(sampleOpening("other"));
      const answers = await Promise.allSettled([
        journal.append([note("fine", 1)]),
        journal.append(drafts),
        other.append([note("fine")]),
        journal.append([note("fine too", 2)]),
      ]);
      expect(answers.map(({ status }) => status)).toEqual(["fulfilled", "rejected", "fulfilled", "fulfilled"]);
      expect((answers[1] as PromiseRejectedResult).reason.message).toMatch(words);
      expect((await records.readLog("run-1")).map((event) => [event.n, event.at])).toEqual([
        [0, 0],
        [1, 1],
        [2, 2],
      ]);
    });
  });

  it("begins with the opening of its own run [R2]", async () => {
    await withRecords(async (records) => {
      await expect(records.journalFor("run-1").append([note("first")])).rejects.toMatchObject({
        code: "log.invalid",
        message: expect.stringMatching(/a log begins with run-opened/),
      });
      await expect(records.journalFor("run-1").append([sampleOpening("run-2")])).rejects.toThrow(
        /it opens run run-2, and this is the log of run-1/,
      );
      expect((await records.listRuns()).runs).toEqual([]);
      await expect(records.resumeRunJournal("run-1")).rejects.toMatchObject({ code: "records.not-found" });
      await records.openRunJournal(sampleOpening());
      await expect(records.openRunJournal(sampleOpening())).rejects.toMatchObject({ code: "records.conflict" });
    });
  });

  it("is gone on with after the records were closed and opened [R2, R3]", async () => {
    using folder = new ScratchFolder();
    const before = await openRecords(folder.path);
    await (await before.openRunJournal(sampleOpening())).append([note("before", 7)]);
    await before.close();
    const after = await openRecords(folder.path);
    const journal = await after.resumeRunJournal("run-1");
    await expect(journal.append([note("earlier", 6)])).rejects.toThrow(/never goes back/);
    expect(await journal.append([note("after", 8)])).toMatchObject([{ n: 2, text: "after" }]);
    expect(await after.verifyChain("run-1")).toMatchObject({ whole: true, entries: 3 });
    await after.close();
  });

  it("answers what was handed over before closing, and refuses what comes after [R3]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    const journal = await records.openRunJournal(sampleOpening());
    const underWay = journal.append([note("under way")]);
    await Promise.all([records.close(), records.close()]);
    expect(await underWay).toMatchObject([{ n: 1 }]);
    await expect(journal.append([note("too late")])).rejects.toMatchObject({ code: "run.not-allowed" });
    await expect(records.listRuns()).rejects.toMatchObject({ code: "run.not-allowed" });
  });
});

describe("what lists show of a run", () => {
  it("is what its events say after each of them, and the same when worked out anew [R13]", async () => {
    await withRecords(async (records) => {
      const journal = await records.openRunJournal(sampleOpening());
      const seen: [number, boolean, string | null][] = [];
      for (const draft of sampleEvents()) {
        await journal.append([draft]);
        const { measured, paused, outcome } = await records.readRun("run-1");
        seen.push([measured, paused, outcome]);
        const before = await records.readRun("run-1");
        await records.rebuildState("run-1");
        expect(await records.readRun("run-1")).toEqual(before);
      }
      expect(seen).toEqual([
        [0, false, null],
        [0, false, null],
        [0, false, null],
        [0, false, null],
        [1, false, null],
        [0, false, null],
        [0, true, null],
        [0, false, null],
        [0, false, null],
        [1, false, null],
        [1, false, null],
        [1, false, null],
        [1, false, "completed"],
      ]);
      expect(await records.readRun("run-1")).toMatchObject({
        events: 14,
        lastAt: 29,
        stops: 2,
        rehearsal: true,
        decision: null,
        certificate: null,
      });
    });
  });

  it("counts a ramp on which every switch changed as a measured stop, and no other [R13]", async () => {
    await withRecords(async (records) => {
      const journal = await records.openRunJournal(sampleOpening());
      const ended = { kind: "ramp-ended", pass: "as-found", reached: 95 } as const;
      await journal.append([{ ...ended, at: 5, point: 0, unchanged: ["tsh-118"] }]);
      expect(await records.readRun("run-1")).toMatchObject({ measured: 0 });
      await journal.append([{ ...ended, at: 6, point: 0, unchanged: [] }]);
      expect(await records.readRun("run-1")).toMatchObject({ measured: 1 });
      await records.rebuildState("run-1");
      expect(await records.readRun("run-1")).toMatchObject({ measured: 1 });
    });
  });

  it("keeps a decision beside the events [R13]", async () => {
    await withRecords(async (records) => {
      const journal = await records.openRunJournal(sampleOpening());
      await records.keepDecision("run-1", "undecided");
      await journal.append([note("more")]);
      expect(await records.readRun("run-1")).toMatchObject({ decision: "undecided", events: 2 });
      await expect(records.keepDecision("run-2", "pass")).rejects.toMatchObject({ code: "records.not-found" });
    });
  });
});
