import { copyFileSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { fillWithEverything } from "../filled-records.test-support.ts";
import { checkPlace, openRecords } from "../index.ts";
import { sampleOpening } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const seed = 20_261_125;

const folder = new ScratchFolder();
const intact = folder.file("intact.sqlite");

beforeAll(async () => {
  const records = await openRecords(folder.file("data"));
  await fillWithEverything(records);
  // Enough that both the ledger and a log have blocks, and rows behind them.
  const journal = await records.openRunJournal(sampleOpening("long", { rehearsal: false }));
  for (let at = 0; at < 1200; at += 1)
    void journal.append([{ kind: "note-added", at: at + 1, text: `note ${at}`, by: "Orla Penhallow (demo)" }]);
  await journal.append([]);
  for (let value = 0; value < 1020; value += 1) await records.writeSetting("count", value);
  await records.close();
  copyFileSync(join(folder.file("data"), "records.sqlite"), intact);
}, 30_000);

afterAll(() => {
  folder[Symbol.dispose]();
});

/** Everything that a database says, table by table; null where it cannot be asked. */
const everything = (file: string): string | null => {
  try {
    const database = new Database(file, { readonly: true });
    try {
      const tables = database
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type IN ('table', 'trigger', 'index') ORDER BY name")
        .all() as { name: string; sql: string }[];
      return JSON.stringify(
        tables.map(({ name, sql }) => [
          name,
          sql,
          /^CREATE (TABLE|VIRTUAL)/.test(sql ?? "") ? database.prepare(`SELECT * FROM "${name}"`).raw().all() : [],
        ]),
      );
    } finally {
      database.close();
    }
  } catch {
    return null;
  }
};

const altered = folder.file("altered.sqlite");

const tampered = async (spoil: (database: Database.Database) => void) => {
  copyFileSync(intact, altered);
  const database = new Database(altered);
  const triggers = database.prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'").all() as {
    name: string;
    sql: string;
  }[];
  for (const { name } of triggers) database.exec(`DROP TRIGGER ${name}`);
  database.pragma("foreign_keys = OFF");
  spoil(database);
  for (const { sql } of triggers) database.exec(sql);
  database.close();
  return checkPlace(altered, "backup");
};

describe("a database of records", () => {
  it("holds, and its tables are those that can be made anew from the ledger [R23]", async () => {
    const check = await checkPlace(folder.file("data"), "data-folder");
    expect(check).toMatchObject({ what: "data-folder", holds: true, breaks: [], remarks: [] });
    expect(check.holding).toEqual([[0, check.entries - 1]]);
    const database = new Database(intact, { readonly: true });
    const count = (table: string): unknown => database.prepare(`SELECT count(*) FROM ${table}`).pluck().get();
    expect(count("ledger_segments")).toBeGreaterThan(0);
    expect(count("run_segments")).toBeGreaterThan(1);
    expect(count("ledger")).toBeGreaterThan(0);
    expect(count("run_events")).toBeGreaterThan(0);
    database.close();
  });

  it.each<[string, string, RegExp]>([
    ["a job", "UPDATE job_revisions SET title = 'Another'", /table job_revisions .* row CV-2611-001 1 is another/],
    ["an item", "DELETE FROM item_revisions", /table item_revisions .* row tt-101 1 is missing/],
    [
      "a kit entry",
      "UPDATE kit_revisions SET due = '2099-01-01' WHERE entry = 'ref-1'",
      /table kit_revisions .* ref-1/,
    ],
    ["a finding", "UPDATE kit_findings SET document = '{}'", /table kit_findings .* row 1 is another/],
    ["a run's kit", "UPDATE run_kit SET serial = '1'", /table run_kit /],
    ["a list's outcome", "UPDATE run_states SET outcome = 'stopped' WHERE number = 1", /table run_states .* row 1/],
    ["a decision", "UPDATE run_states SET decision = 'fail' WHERE number = 1", /table run_states .* row 1/],
    ["a setting", "UPDATE settings SET value = '7' WHERE name = 'count'", /table settings .* row count is another/],
    ["a withdrawal", "DELETE FROM certificate_withdrawals", /table certificate_withdrawals .* is missing/],
    ["a row too many", "INSERT INTO settings VALUES ('zz', '1')", /table settings .* no entry speaks of it/],
    [
      "a certificate",
      "UPDATE certificate_files SET bytes = x'00' WHERE sequence = 1 AND kind = 'pdf'",
      /PDF of certificate C-1 was changed/,
    ],
    [
      "a certificate's file gone",
      "DELETE FROM certificate_files WHERE sequence = 2 AND kind = 'xml'",
      /XML of certificate C-2 is missing/,
    ],
    [
      "an entry",
      "UPDATE ledger SET text = replace(text, 'dwellpoint', 'somebody') WHERE number = (SELECT max(number) FROM ledger)",
      /^Entry \d+ was changed/,
    ],
    [
      "an entry's hash",
      "UPDATE ledger SET hash = replace(hash, substr(hash, 1, 1), 'g') WHERE number = (SELECT max(number) FROM ledger)",
      /^Entry \d+ was changed/,
    ],
    [
      "an entry removed",
      "DELETE FROM ledger WHERE number = (SELECT min(number) + 1 FROM ledger)",
      /^Entry \d+ is missing or out of place/,
    ],
    ["the last entry removed", "DELETE FROM ledger WHERE number = (SELECT max(number) FROM ledger)", /table settings/],
    [
      "a block of entries",
      "UPDATE ledger_segments SET bytes = x'00'",
      /^Entries 0 to 999 stand in one block: its bytes were changed/,
    ],
    ["a block of entries gone", "DELETE FROM ledger_segments WHERE first = 0", /^Entry 0 is missing or out of place/],
    [
      "a line of a log",
      "UPDATE run_events SET text = replace(text, 'note', 'nota') WHERE number = 3 AND n = 1100",
      /^Event 1100 was changed/,
    ],
    [
      "a line of a log gone",
      "DELETE FROM run_events WHERE number = 3 AND n = 1200",
      /log of run long ends after 1200 lines/,
    ],
    [
      "a line behind the end",
      "INSERT INTO run_events SELECT number, n + 1, kind, at, text, hash FROM run_events WHERE number = 3 AND n = 1200",
      /goes on behind line 1201/,
    ],
    [
      "a block of lines",
      "UPDATE run_segments SET (bytes, sum) = (SELECT bytes, sum FROM run_segments WHERE number = 1) WHERE number = 3",
      /^Events 0 to 999 stand in one block: it holds/,
    ],
    [
      "a block's hash",
      "UPDATE run_segments SET hash = replace(hash, substr(hash, 1, 1), 'g') WHERE number = 3",
      /^Events 0 to 999 stand in one block: it was changed/,
    ],
    [
      "a run from nowhere",
      "INSERT INTO run_segments SELECT 99, first, last, hash, sum, bytes FROM run_segments WHERE number = 1",
      /lines of a run 99 that no entry speaks of/,
    ],
    [
      "another station's entries",
      "INSERT INTO ledger SELECT 'other', number, text, hash FROM ledger LIMIT 1",
      /another station, other/,
    ],
    ["the search", "UPDATE runs SET words = 'x' WHERE number = 1", /table runs .*|index of the search/],
  ])("does not hold when somebody altered %s [R22]", async (_, sql, words) => {
    const { holds, breaks } = await tampered((database) => database.exec(sql));
    expect(holds).toBe(false);
    expect(breaks.map(({ sentence }) => sentence).join("\n")).toMatch(new RegExp(words.source, "m"));
  });

  it("does not hold without one of its triggers [R22]", async () => {
    copyFileSync(intact, altered);
    const database = new Database(altered);
    database.exec("DROP TRIGGER runs_keep_update");
    database.close();
    const { breaks } = await checkPlace(altered, "backup");
    expect(breaks).toEqual([
      { entry: null, sentence: "The trigger runs_keep_update of the database is not as this program made it." },
    ]);
  });

  it(`says of 300 files with a random byte altered that they do not hold, or they say the very same, seed ${seed} [R22]`, async () => {
    using small = new ScratchFolder();
    const records = await openRecords(small.path);
    await fillWithEverything(records);
    await records.close();
    const compact = small.file("compact.sqlite");
    const database = new Database(small.file("records.sqlite"));
    database.prepare("VACUUM INTO ?").run(compact);
    database.close();
    const random = seededGenerator(seed);
    const bytes = readFileSync(compact);
    const before = everything(compact);
    // Most zeros are room that nobody uses yet.
    const used = [...bytes.keys()].filter((at) => bytes[at] !== 0);
    const missed: number[] = [];
    let found = 0;
    for (let turn = 0; turn < 300; turn += 1) {
      const changed = Buffer.from(bytes);
      const at = used[Math.floor(random.next() * used.length)]!;
      changed[at] = changed[at]! ^ (1 + Math.floor(random.next() * 255));
      writeFileSync(altered, changed);
      const check = await checkPlace(altered, "backup");
      if (!check.holds) found += 1;
      // A byte in a place that SQLite does not use says nothing.
      else if (everything(altered) !== before) missed.push(at);
    }
    expect(missed).toEqual([]);
    console.log(`${found} of 300 altered bytes belonged to something`);
    expect(found).toBeGreaterThan(200);
  }, 120_000);
});
