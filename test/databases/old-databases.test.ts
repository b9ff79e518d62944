import { copyFileSync, mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { openRecords } from "#records";
import { sampleReadings } from "../../src/records/sample-log.test-support.ts";
import { ScratchFolder } from "../../src/records/scratch-folder.test-support.ts";
import { newestVersion } from "../../src/records/storage/migrate.ts";
import { answersOf } from "./answers-of.ts";
import { fillRecords } from "./make-database.ts";

/** One for each version that there ever was: a missing file is a failure, not a skip. */
const versions = Array.from({ length: newestVersion }, (_, index) => index + 1);

const stored = (version: number, ending: string): string => join(import.meta.dirname, `v${version}.${ending}`);

const answered = (version: number): object => JSON.parse(readFileSync(stored(version, "json"), "utf8"));

/** Every table, index and trigger of a database file, as it was made. */
const schemaOf = (file: string): unknown => {
  const database = new Database(file, { readonly: true });
  try {
    return database.prepare("SELECT type, name, tbl_name, sql FROM sqlite_schema ORDER BY type, name").all();
  } finally {
    database.close();
  }
};

describe.each(versions)("a database of version %i", (version) => {
  const copied = (folder: ScratchFolder): string => {
    copyFileSync(stored(version, "sqlite"), folder.file("records.sqlite"));
    return folder.path;
  };

  it("opens, and answers what it answered then [R10]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(copied(folder));
    try {
      expect(await answersOf(records)).toMatchObject(answered(version));
      const { runs } = await records.listRuns();
      expect(runs.map(({ run }) => run)).toEqual(["interrupted", "CV-2611-001-20261120T093000Z"]);
      for (const { run } of runs) expect((await records.readLog(run))[0]).toMatchObject({ kind: "run-opened", run });
    } finally {
      await records.close();
    }
  });

  it("is gone on with: its interrupted run takes readings [R10]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(copied(folder));
    try {
      const journal = await records.resumeRunJournal("interrupted");
      const [event] = await journal.append([sampleReadings(5, 3)]);
      expect((await records.readLog("interrupted")).at(-1)).toEqual(event);
      expect(await records.verifyChain("interrupted")).toMatchObject({ whole: true });
    } finally {
      await records.close();
    }
  });

  it("comes by migration to the tables that a new database has [R10]", async () => {
    using folder = new ScratchFolder();
    const fresh = folder.file("fresh");
    mkdirSync(fresh);
    for (const place of [copied(folder), fresh]) await (await openRecords(place)).close();
    expect(schemaOf(folder.file("records.sqlite"))).toEqual(schemaOf(join(fresh, "records.sqlite")));
  });
});

it("the newest of these files is what this program makes [R10]", async () => {
  using folder = new ScratchFolder();
  expect(await fillRecords(folder.path)).toEqual(answered(newestVersion));
});
