/**
 * Writes to the records in a folder until it is killed: lines of a run, a setting and a finding at the same time, and tells on
 * its output what was answered, a line each: `lines N`, `setting N`, `finding N`.
 *
 *   node ledger-writer.test-support.ts FOLDER
 */
import { writeSync } from "node:fs";
import { openRecords } from "../index.ts";
import { sampleOpening } from "../sample-log.test-support.ts";

const tell = (words: string): void => {
  writeSync(1, `${words}\n`);
};

tell("opening");
const records = await openRecords(process.argv[2]!);
const { runs } = await records.listRuns({});
const journal =
  runs.length === 0 ? await records.openRunJournal(sampleOpening()) : await records.resumeRunJournal("run-1");
let setting = Number((await records.readSetting("count")) ?? 0);
let at = runs[0]?.lastAt ?? 0;
tell("ready");

for (;;) {
  at += 1;
  setting += 1;
  const notes = Array.from({ length: 12 }, (_, index) => ({
    ...({ kind: "note-added", by: "Orla Penhallow (demo)" } as const),
    at,
    text: `note ${at} ${index}`,
  }));
  const finding = { entry: "ref-1", kind: "ice-point", at: "2026-11-20T08:00:00Z", author: "a", document: setting };
  await Promise.all([
    journal.append(notes).then((events) => tell(`lines ${events.at(-1)!.n + 1}`)),
    records.writeSetting("count", setting).then(() => tell(`setting ${setting}`)),
    records.keepFinding(finding).then((number) => tell(`finding ${number}`)),
  ]);
}
