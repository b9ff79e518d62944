import Database from "better-sqlite3";
import { createHash } from "node:crypto";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { canonicalJson } from "../chain/canonical-json.ts";
import { chainStart, link } from "../chain/chain.ts";
import { openRecords, type Records } from "../index.ts";
import { sampleEvents, sampleOpening } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const certificate = {
  run: "run-1",
  issued: "2026-11-20T12:00:00Z",
  authorisedBy: "Idris Farrowby (demo)",
  decision: null,
  make: () => ({ number: "C-1", pdf: Buffer.from("pdf") }),
};

/** Events of a run that goes on: its lines stand in rows, not in a block. */
const events = sampleEvents().slice(0, -1);

/** Records with one run; then what somebody does to the file behind our back; then the records again. */
const tampered = async (
  spoil: (database: Database.Database) => void,
  issue = false,
): Promise<{ records: Records; folder: ScratchFolder }> => {
  const folder = new ScratchFolder();
  const before = await openRecords(folder.path);
  await (await before.openRunJournal(sampleOpening())).append(events);
  if (issue) await before.addCertificate(certificate);
  await before.close();
  const database = new Database(folder.file("records.sqlite"));
  for (const name of database
    .prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'")
    .pluck()
    .all() as string[])
    database.exec(`DROP TRIGGER ${name}`);
  database.pragma("foreign_keys = OFF");
  spoil(database);
  database.close();
  return { records: await openRecords(folder.path), folder };
};

const lines = 1 + events.length;

describe("a log that somebody altered in the database file [R6]", () => {
  it.each<[string, string, number, RegExp]>([
    [
      "a digit",
      "UPDATE run_events SET text = replace(text, '138.503', '138.504') WHERE n = 4",
      4,
      /Entry 4 was changed/,
    ],
    [
      "the time of an entry in its column",
      "UPDATE run_events SET at = 13.5 WHERE n = 6",
      6,
      /Entry 6 is filed under another/,
    ],
    ["an entry removed", "DELETE FROM run_events WHERE n = 6", 6, /Entry 6 is missing/],
    [
      "an entry removed and the rest moved up",
      "DELETE FROM run_events WHERE n = 6; UPDATE run_events SET n = n - 1 WHERE n > 6",
      6,
      /Entry 6 was changed/,
    ],
    [
      "two entries exchanged",
      "UPDATE run_events SET n = 99 WHERE n = 2; UPDATE run_events SET n = 2 WHERE n = 3; UPDATE run_events SET n = 3 WHERE n = 99",
      2,
      /Entry 2 was changed/,
    ],
    [
      "an entry added",
      "UPDATE run_events SET n = n + 100 WHERE n > 8; UPDATE run_events SET n = n - 99 WHERE n > 100; INSERT INTO run_events SELECT number, 9, kind, at, text, hash FROM run_events WHERE n = 8",
      9,
      /Entry 9 was changed/,
    ],
    [
      "the last entry cut off",
      `DELETE FROM run_events WHERE n = ${lines - 1}`,
      lines - 1,
      /the log had 13 entries when it was last written/,
    ],
  ])("%s: it is named, and what holds before it", async (_, sql, at, words) => {
    const { records, folder } = await tampered((database) => database.exec(sql));
    const check = await records.verifyChain("run-1");
    expect(check).toMatchObject({ whole: false, at, entries: at, reason: expect.stringMatching(words) });
    await records.close();
    folder[Symbol.dispose]();
  });

  it("is not given out: neither for evaluation nor as a file", async () => {
    const { records, folder } = await tampered((database) =>
      database.exec("UPDATE run_events SET text = replace(text, '138.503', '138.504') WHERE n = 4"),
    );
    const refusal = {
      code: "records.damaged",
      message: expect.stringMatching(/^Line 5 of the log of run run-1 is not as it was recorded/),
    };
    await expect(records.readLog("run-1")).rejects.toMatchObject(refusal);
    await expect(records.exportLog("run-1")).rejects.toMatchObject(refusal);
    await records.close();
    folder[Symbol.dispose]();
  });

  it("is found by its certificate when all of it was written anew with hashes that fit", async () => {
    const { records, folder } = await tampered((database) => {
      let hash = chainStart;
      const update = database.prepare("UPDATE run_events SET text = ?, hash = ? WHERE n = ?");
      const rows = database.prepare("SELECT n, text FROM run_events ORDER BY n").all() as { n: number; text: string }[];
      for (const { n, text } of rows) {
        const forged = text.replace("138.503", "138.504");
        hash = link(hash, forged);
        update.run(forged, hash, n);
      }
      database.prepare("UPDATE run_states SET head = ?").run(hash);
    }, true);
    expect(await records.verifyChain("run-1")).toMatchObject({
      whole: false,
      entries: 0,
      reason: expect.stringMatching(/not the one that it was when certificate C-1 was issued/),
    });
    await records.close();
    folder[Symbol.dispose]();
  });
});

describe("recorded rows", () => {
  const folder = new ScratchFolder();
  afterAll(() => {
    folder[Symbol.dispose]();
  });

  beforeAll(async () => {
    const records = await openRecords(folder.path);
    const opening = sampleOpening("run-1", { rehearsal: false });
    await records.openRunJournal(opening);
    await records.saveJob(opening.job);
    await records.addCertificate(certificate);
    await records.withdrawCertificate({ number: "C-1", at: certificate.issued, by: "somebody", reason: "a test" });
    await records.keepFinding({ entry: "ref-1", kind: "ice-point", at: certificate.issued, author: "a", document: 1 });
    const known = { name: "bath", entry: "x", role: "source", at: "tcp://x", said: "x", answered: "x" } as const;
    await records.keepInstrument(known);
    // Enough that the oldest entries, and the lines of an ended run, come into blocks.
    await (await records.openRunJournal(sampleOpening("run-2"))).append(sampleEvents());
    for (let at = 0; at < 1000; at += 1) await records.writeSetting("count", at);
    await records.close();
  }, 30_000);

  it.each([
    "runs",
    "run_events",
    "run_items",
    "job_revisions",
    "item_revisions",
    "kit_revisions",
    "certificates",
    "certificate_files",
    "this_station",
    "ledger",
    "ledger_segments",
    "run_segments",
    "run_kit",
    "kit_findings",
    "instrument_revisions",
    "certificate_withdrawals",
  ])("of %s are neither changed nor removed [R1]", (table) => {
    const database = new Database(folder.file("records.sqlite"));
    const column = database
      .prepare(`SELECT name FROM pragma_table_info('${table}') ORDER BY pk, cid LIMIT 1`)
      .pluck()
      .get() as string;
    expect(database.prepare(`SELECT count(*) FROM ${table}`).pluck().get()).toBeGreaterThan(0);
    expect(() => database.exec(`UPDATE ${table} SET ${column} = ${column}`)).toThrow(`${table} is append-only`);
    expect(() => database.exec(`DELETE FROM ${table}`)).toThrow(`${table} is append-only`);
    database.pragma("recursive_triggers = ON");
    expect(() => database.exec(`INSERT OR REPLACE INTO ${table} SELECT * FROM ${table}`)).toThrow(
      /append-only|without a gap/,
    );
    database.close();
  });
});

describe("a log as a file", () => {
  it("is its canonical lines, and imported elsewhere it is the same chain [R11]", async () => {
    using here = new ScratchFolder();
    using there = new ScratchFolder();
    const one = await openRecords(here.path);
    const other = await openRecords(there.path);
    await (await one.openRunJournal(sampleOpening())).append(sampleEvents());
    const text = await one.exportLog("run-1");
    const events = await one.readLog("run-1");
    expect(text).toBe(events.map((event) => `${canonicalJson(event)}\n`).join(""));
    expect(await other.importLog(text)).toBe("run-1");
    expect(await other.importLog(events)).toBe("run-1");
    expect(await other.exportLog("run-1")).toBe(text);
    expect(await other.verifyChain("run-1")).toEqual(await one.verifyChain("run-1"));
    expect(await other.readRun("run-1")).toEqual(await one.readRun("run-1"));
    expect(createHash("sha256").update(text).digest("hex")).toMatch(/^[0-9a-f]{64}$/);
    await expect(other.importLog(text.replace("138.503", "138.504"))).rejects.toMatchObject({
      code: "records.conflict",
    });
    await expect(other.importLog(text.replace('"kind":"pass-begun"', '"kind":"pass-hummed"'))).rejects.toMatchObject({
      code: "log.invalid",
    });
    await one.close();
    await other.close();
  });
});
