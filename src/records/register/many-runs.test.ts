import Database from "better-sqlite3";
import { describe, expect, it } from "vitest";
import { openRecords, type RunQuery } from "../index.ts";
import { sampleOpening } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const count = 100_000;

/** What is asked, how many runs the answer's first page has, and what each of them must hold. */
const questions: readonly (readonly [string, RunQuery, number, RegExp])[] = [
  ["the newest", {}, 50, /"run":"run-(999[5-9]\d|100000)"/],
  ["a word in every run", { search: "marrow" }, 50, /Marrow/],
  ["a word in a third of them", { search: "RETORT" }, 50, /Retort/],
  ["one run by its serial number", { search: "0015838" }, 1, /0015838/],
  ["one run by its name", { search: "run-77777" }, 1, /run-77777/],
  ["two words", { search: "pasteuriser tt-1203" }, 9, /Pasteuriser.*TT-1203/],
  ["a word of two letters", { search: "tt" }, 50, /TT/],
  ["a word of two letters that none has", { search: "qq" }, 0, /^/],
  ["nothing", { search: "quince-house-nowhere" }, 0, /^/],
  ["runs of one job", { job: "CV-2605-0100" }, 1, /CV-2605-0100/],
  ["failed runs of an item", { item: "item-120", decision: "fail" }, 25, /item-120/],
  ["stopped runs", { outcome: "stopped" }, 50, /stopped/],
  ["the middle of the list", { after: 50_000 }, 50, /"run":"run-499[5-9]\d"/],
];

/** Copies the one recorded run `count` times over, with names, tags and outcomes of their own; without their events. */
const multiply = (file: string): void => {
  const database = new Database(file);
  database.exec(`
    BEGIN;
    CREATE TEMP TABLE many AS
      WITH RECURSIVE series (i) AS (SELECT 2 UNION ALL SELECT i + 1 FROM series WHERE i < ${count})
      SELECT i, 'run-' || i AS run, 'CV-' || (2600 + i % 12) || '-' || printf('%04d', i / 12) AS job,
        'TT-' || (i % 4000) AS tag, printf('%07d', (i * 7919) % 9999991) AS serial,
        CASE i % 3 WHEN 0 THEN 'Pasteuriser' WHEN 1 THEN 'Retort' ELSE 'Cold store' END || ' ' || (i % 40) AS title FROM series;
    INSERT INTO runs SELECT i, many.run, many.job, many.title, customer, place, technician,
        strftime('%Y-%m-%dT%H:%M:%SZ', 1700000000 + i * 600, 'unixepoch'), rehearsal,
        json_array(json_object('item', 'item-' || (i % 4000), 'tag', tag, 'description', 'Pt100, four wires', 'serial', serial)), stops,
        lower(many.run || ' ' || many.job || ' ' || many.title || ' ' || tag || ' ' || serial || ' ' || customer)
      FROM many, runs WHERE runs.number = 1;
    INSERT INTO run_states (number, events, last_at, head, measured, paused, outcome, decision)
      SELECT i, 400, 3600, head, 2, 0, CASE WHEN i % 50 = 0 THEN 'stopped' ELSE 'completed' END, CASE WHEN i % 20 = 0 THEN 'fail' ELSE 'pass' END
      FROM many, run_states WHERE number = 1;
    INSERT INTO run_items SELECT i, 'item-' || (i % 4000), tag, serial FROM many;
    INSERT INTO run_search (rowid, words)
      SELECT number, words FROM runs WHERE number > 1;
    COMMIT;
  `);
  database.close();
};

describe(`the list of ${count} runs`, () => {
  it("answers every question with what was asked for [R16]", async () => {
    using folder = new ScratchFolder();
    const first = await openRecords(folder.path);
    await first.openRunJournal(sampleOpening());
    await first.close();
    multiply(folder.file("records.sqlite"));
    const records = await openRecords(folder.path);
    for (const [what, query, many, holds] of questions) {
      const times: number[] = [];
      for (let turn = 0; turn < 7; turn += 1) {
        const started = performance.now();
        const { runs } = await records.listRuns(query);
        times.push(performance.now() - started);
        expect({ what, found: runs.length }).toEqual({ what, found: many });
        for (const run of runs) expect(JSON.stringify(run)).toMatch(holds);
      }
      times.sort((a, b) => a - b);
      console.log(`${what}: median ${times[3]!.toFixed(1)} ms, slowest of 7 ${times[6]!.toFixed(1)} ms`);
    }
    await records.close();
  });
});
