import { copyFileSync, mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { checkPlace, openRecords } from "#records";
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

  it("has all of its records in the ledger, and holds [R10, R23]", async () => {
    using folder = new ScratchFolder();
    const check = await checkPlace(copied(folder), "data-folder");
    expect(check).toMatchObject({ holds: true, breaks: [] });
    expect(check.runs.map(({ run }) => run).toSorted()).toEqual(["CV-2611-001-20261120T093000Z", "interrupted"]);
    expect(check.certificates.length).toBeGreaterThan(1);
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

it("what version 1 recorded is taken over entry by entry, and says so [R10]", async () => {
  using folder = new ScratchFolder();
  copyFileSync(stored(1, "sqlite"), folder.file("records.sqlite"));
  await (await openRecords(folder.path)).close();
  const database = new Database(folder.file("records.sqlite"), { readonly: true });
  const entries = database.prepare("SELECT text ->> 'kind' AS kind, text ->> 'author' AS author FROM ledger").all() as {
    kind: string;
    author: string;
  }[];
  database.close();
  expect(entries[0]).toEqual({ kind: "ledger-begun", author: "dwellpoint" });
  const taken = entries.slice(1);
  expect(new Set(taken.map(({ author }) => author))).toEqual(new Set(["taken over from version 1"]));
  expect([...new Set(taken.map(({ kind }) => kind))].toSorted()).toEqual([
    "certificate-issued",
    "item-revised",
    "job-revised",
    "kit-revised",
    "run-events",
    "run-judged",
    "setting-changed",
  ]);
});
