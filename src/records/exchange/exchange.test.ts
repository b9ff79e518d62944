import { appendFileSync, chmodSync, copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { FileSizeLimit } from "../file-size-limit.test-support.ts";
import { fillWithEverything } from "../filled-records.test-support.ts";
import { backupFolder, checkPlace, exportFolder, importExport, openRecords, restoreBackup } from "../index.ts";
import { ReadOnlyFolder } from "../read-only-folder.test-support.ts";
import { sampleEvents, sampleOpening, sampleReadings } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";
import { answersOf } from "../../../test/databases/answers-of.ts";

const later = (): string => "2026-11-21T08:00:00.000Z";

const filled = async (folder: string): Promise<unknown> => {
  const records = await openRecords(folder, { now: () => "2026-11-20T08:00:00.000Z" });
  await fillWithEverything(records);
  const answers = await answersOf(records);
  await records.close();
  return answers;
};

const answersIn = async (folder: string): Promise<unknown> => {
  const records = await openRecords(folder, { now: later });
  try {
    return await answersOf(records);
  } finally {
    await records.close();
  }
};

describe("a backup", () => {
  it("is made while runs go on, and restored it answers the same; its ledger goes on [R24]", async () => {
    using folder = new ScratchFolder();
    const before = await filled(folder.file("data"));
    const made = await backupFolder(folder.file("data"), folder.file("kept/one.sqlite"));
    expect(made).toMatchObject({
      file: folder.file("kept/one.sqlite"),
      station: expect.stringMatching(/^[0-9a-f]{16}$/),
    });
    expect(readdirSync(folder.file("kept")).toSorted()).toEqual(["one.sqlite", "one.sqlite.sha256"]);
    expect(await checkPlace(made.file, "backup")).toMatchObject({ holds: true, remarks: [], head: made.head });
    const check = await restoreBackup(made.file, folder.file("again"), later);
    expect(check).toMatchObject({ entries: made.entries, head: made.head, station: made.station });
    expect(await answersIn(folder.file("again"))).toEqual(before);
    const after = await checkPlace(folder.file("again"), "data-folder");
    expect(after).toMatchObject({ holds: true, entries: made.entries! + 1, station: made.station });
  });

  it("made in the middle of writing holds all that was answered before it, and is whole [R24]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.file("data"));
    const journal = await records.openRunJournal(sampleOpening());
    let answered = 0;
    const writing = new AbortController();
    const writer = (async () => {
      for (let at = 1; !writing.signal.aborted; at += 1) {
        await journal.append([{ ...sampleReadings(at, 5), at }]);
        answered += 1;
        // Others of this process have their turn too.
        await new Promise(setImmediate);
      }
    })();
    for (const name of ["a", "b", "c"]) {
      const sure = answered;
      const made = await records.backup(folder.file(name));
      const check = await checkPlace(made.file, "backup");
      expect(check).toMatchObject({ holds: true, breaks: [] });
      expect(check.runs[0]!.lines).toBeGreaterThan(sure);
    }
    writing.abort();
    await writer;
    await records.close();
  });

  it("is never written over, and a place that is full or cannot be written is said [R15, R24]", async () => {
    using folder = new ScratchFolder();
    using readOnly = new ReadOnlyFolder();
    await filled(folder.file("data"));
    writeFileSync(folder.file("there"), "kept");
    await expect(backupFolder(folder.file("data"), folder.file("there"))).rejects.toMatchObject({
      code: "records.conflict",
      message: expect.stringMatching(/is there already/),
    });
    expect(readFileSync(folder.file("there"), "utf8")).toBe("kept");
    await expect(backupFolder(folder.file("data"), join(readOnly.path, "x"))).rejects.toMatchObject({
      code: "records.read-only",
    });
    await expect(backupFolder(folder.file("none"), folder.file("x"))).rejects.toMatchObject({
      code: "records.not-found",
    });
    {
      using _limit = new FileSizeLimit(100_000);
      await expect(backupFolder(folder.file("data"), folder.file("x"))).rejects.toMatchObject({
        code: "records.read-only",
        message: expect.stringMatching(/no room left|cannot be written/),
      });
    }
    expect(readdirSync(folder.path).toSorted()).toEqual(["data", "there"]);
  });

  it("that does not hold is not restored, and nothing is written over [R24]", async () => {
    using folder = new ScratchFolder();
    await filled(folder.file("data"));
    const { file } = await backupFolder(folder.file("data"), folder.file("one"));
    const database = new Database(file);
    database.exec("DROP TRIGGER job_revisions_keep_update; UPDATE job_revisions SET title = 'another'");
    database.close();
    await expect(restoreBackup(file, folder.file("again"))).rejects.toMatchObject({
      code: "records.damaged",
      message: expect.stringMatching(/does not hold, so nothing was taken from it/),
    });
    expect(readdirSync(folder.file("again"))).toEqual([]);
    await expect(restoreBackup(file, folder.file("data"))).rejects.toMatchObject({
      code: "records.conflict",
      message: expect.stringMatching(/records in .* already. They are never written over/),
    });
    writeFileSync(folder.file("no-database"), "nothing");
    await expect(restoreBackup(folder.file("no-database"), folder.file("again"))).rejects.toMatchObject({
      code: "records.damaged",
    });
    await expect(restoreBackup(folder.file("none"), folder.file("again"))).rejects.toMatchObject({
      code: "records.not-found",
    });
  });

  it("of version 1 is restored as of today [R10, R24]", async () => {
    using folder = new ScratchFolder();
    copyFileSync(join(import.meta.dirname, "../../../test/databases/v1.sqlite"), folder.file("old.sqlite"));
    const kept = readFileSync(folder.file("old.sqlite"));
    expect(await checkPlace(folder.file("old.sqlite"), "backup")).toMatchObject({ holds: true });
    await restoreBackup(folder.file("old.sqlite"), folder.file("data"), later);
    const { runs } = (await answersIn(folder.file("data"))) as { runs: unknown[] };
    expect(runs).toHaveLength(2);
    expect(readFileSync(folder.file("old.sqlite"))).toEqual(kept);
  });
});

describe("an export", () => {
  it("holds all as open files, and imported elsewhere it is the same chain and answers the same [R25]", async () => {
    using folder = new ScratchFolder();
    const before = await filled(folder.file("data"));
    const told = await exportFolder(folder.file("data"), folder.file("out"));
    expect(told).toMatchObject({ runs: 2, certificates: 2 });
    const check = await checkPlace(folder.file("out"), "export");
    expect(check).toMatchObject({ what: "export", holds: true, head: told.head, entries: told.entries, remarks: [] });
    const imported = await importExport(folder.file("out"), folder.file("there"), later);
    expect(imported).toMatchObject({ head: told.head, entries: told.entries, station: told.station });
    expect(await answersIn(folder.file("there"))).toEqual(before);
    expect(await checkPlace(folder.file("there"), "data-folder")).toMatchObject({
      holds: true,
      entries: told.entries + 1,
    });
    await exportFolder(folder.file("there"), folder.file("out-again"));
    const [one, other] = ["out", "out-again"].map((name) =>
      readFileSync(folder.file(`${name}/ledger.jsonl`), "utf8").split("\n"),
    );
    expect(other!.slice(0, told.entries)).toEqual(one!.slice(0, told.entries));
    for (const name of ["runs/interrupted.log.jsonl", "certificates/C-1.pdf", "tables/kit.csv"])
      expect(readFileSync(folder.file(`out-again/${name}`))).toEqual(readFileSync(folder.file(`out/${name}`)));
  });

  it("has its readings and lists as tables that a spreadsheet reads [R25]", async () => {
    using folder = new ScratchFolder();
    await filled(folder.file("data"));
    await exportFolder(folder.file("data"), folder.file("out"));
    const rows = (name: string): string[] => readFileSync(folder.file(`out/${name}`), "utf8").split("\r\n");
    const readings = rows("runs/CV-2611-001-20261120T093000Z.readings.csv");
    expect(readings.slice(0, 2)).toEqual([
      "event,channel,time_s,value,unit,digits",
      "4,reference,3,138.503,Ω,138.5030",
    ]);
    expect(readings).toHaveLength(1 + 20 + 1);
    expect(rows("tables/items.csv").slice(0, 2)).toEqual([
      "item,revision,tag,serial,description,saved",
      'tt-101,1,TT-101,0042817,"Pt100, four wires",2026-11-20T08:00:00.000Z',
    ]);
    expect(rows("tables/certificates.csv")[2]).toMatch(/^C-2,.*,C-1,the address was wrong,/);
  });

  it("that does not hold is not imported; nor is anything written over [R25]", async () => {
    using folder = new ScratchFolder();
    await filled(folder.file("data"));
    await exportFolder(folder.file("data"), folder.file("out"));
    await expect(exportFolder(folder.file("data"), folder.file("out"))).rejects.toMatchObject({
      code: "records.conflict",
    });
    await expect(importExport(folder.file("out"), folder.file("data"))).rejects.toMatchObject({
      code: "records.conflict",
    });
    const log = folder.file("out/runs/interrupted.log.jsonl");
    appendFileSync(log, readFileSync(log, "utf8").split("\n")[1]!);
    await expect(importExport(folder.file("out"), folder.file("there"))).rejects.toMatchObject({
      code: "records.damaged",
      message: expect.stringMatching(/The log of run interrupted goes on behind line 2/),
    });
    expect(existsSync(folder.file("there/records.sqlite"))).toBe(false);
  });
});

describe("a data folder that may only be read", () => {
  it("can be checked and exported all the same [R15, R22]", async () => {
    using folder = new ScratchFolder();
    await filled(folder.file("data"));
    chmodSync(folder.file("data/records.sqlite"), 0o444);
    chmodSync(folder.file("data"), 0o555);
    try {
      expect(await checkPlace(folder.file("data"), "data-folder")).toMatchObject({ holds: true });
    } finally {
      chmodSync(folder.file("data"), 0o755);
    }
  });
});

describe("a clock that steps back [R26]", () => {
  it("is noted with both times; nothing is lost, the order stays, and the check says so", async () => {
    using folder = new ScratchFolder();
    const times = ["2026-11-20T08:00:00.000Z", "2026-11-20T10:00:00.000Z", "2026-11-20T10:00:01.000Z"];
    times.push("2026-11-20T07:30:00.000Z", "2026-11-20T07:29:59.500Z", "2026-11-20T07:30:01.000Z");
    let turn = -1;
    const records = await openRecords(folder.file("data"), { now: () => times[(turn += 1)] ?? times.at(-1)! });
    const journal = await records.openRunJournal(sampleOpening());
    const events = sampleEvents();
    for (const event of events) await journal.append([event]);
    expect(await records.readLog("run-1")).toHaveLength(1 + events.length);
    await records.close();
    const check = await checkPlace(folder.file("data"), "data-folder");
    expect(check).toMatchObject({ holds: true, entries: 1 + 1 + events.length + 1 });
    expect(check.remarks).toEqual([
      "Before entry 3 the clock of the station was found to have gone back, from 2026-11-20T10:00:01.000Z to 2026-11-20T07:30:00.000Z. The order of the entries is that of their numbers.",
    ]);
  });
});

describe("days of readings [R21]", () => {
  const day = 24 * 3600;
  const seconds = 400;
  const channels = ["reference", "item-1", "item-2", "item-3"];

  it("at ten readings a second on four channels take less than 10 MB a day", async () => {
    using folder = new ScratchFolder();
    const random = seededGenerator(7);
    const records = await openRecords(folder.path);
    const journal = await records.openRunJournal(sampleOpening());
    const levels = [138.5, 109.7, 109.72, 0.4];
    for (let second = 1; second <= seconds; second += 1) {
      // Times jitter as a machine's do; a reading's noise is some five digits of its display.
      const blocks = channels.map((channel, index) => {
        const times = Array.from({ length: 10 }, (_, at) => second + at / 10 + Math.abs(random.normal()) / 500);
        const values = times.map(() => {
          levels[index]! += random.normal() * 2e-5;
          return Number((levels[index]! + random.normal() * 5e-4).toFixed(4));
        });
        const rounded = times.map((time) => Number(time.toFixed(3)));
        const wire = values.map((value) => value.toFixed(4));
        return { kind: "readings-taken", at: second + 1, channel, unit: "Ω", times: rounded, values, wire } as const;
      });
      const appended = blocks.map((block) => journal.append([block]));
      await Promise.all(appended);
    }
    for (let more = 0; more < 620; more += 1)
      await journal.append([{ kind: "note-added", at: 500, text: "x", by: "x" }]);
    await journal.append([{ kind: "run-ended", at: 500, outcome: "completed", by: "dwellpoint" }]);
    await records.close();
    const database = new Database(folder.file("records.sqlite"), { readonly: true });
    const perUnit = (table: string): number =>
      database
        .prepare(`SELECT sum(length(bytes) + 200) * 1.0 / sum(last - first + 1) FROM ${table} WHERE first = 0`)
        .pluck()
        .get() as number;
    const [line, entry] = [perUnit("run_segments"), perUnit("ledger_segments")];
    // What is not sealed yet: a thousand lines and entries as rows, with their indexes.
    const rows = 2 * 1000 * 600;
    const bytes = line * channels.length * day + entry * day + rows;
    console.log(
      `${(line / 10).toFixed(2)} bytes a reading, ${entry.toFixed(1)} an entry of the ledger; ${(bytes / 1e6).toFixed(2)} MB a day`,
    );
    expect(bytes).toBeLessThan(10e6);
    database.close();
  }, 60_000);
});
