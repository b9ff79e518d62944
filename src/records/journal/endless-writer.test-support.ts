/**
 * Appends to a journal until it is killed, several appends at a time, and tells on its output, a line each, what was
 * answered: first `opening`, then `n at count` of every block of readings. What it tells is out before it goes on.
 *
 *   node endless-writer.test-support.ts file PATH
 *   node endless-writer.test-support.ts database FOLDER
 */
import { writeSync } from "node:fs";
import type { EventDraft, RunEvent } from "#calibration";
import { openFileJournal, openRecords } from "../index.ts";
import { sampleOpening, sampleReadings } from "../sample-log.test-support.ts";

interface Writer {
  readonly lines: number;
  append(drafts: readonly EventDraft[]): Promise<readonly RunEvent[]>;
}

const fileWriter = async (path: string): Promise<Writer> => {
  const journal = await openFileJournal(path);
  return { lines: journal.lines, append: (drafts) => journal.append(drafts) };
};

const databaseWriter = async (folder: string): Promise<Writer> => {
  const records = await openRecords(folder);
  const { runs } = await records.listRuns({});
  const opening = sampleOpening();
  const journal =
    runs.length === 0 ? await records.openRunJournal(opening) : await records.resumeRunJournal(opening.run);
  return { lines: (await records.readLog(opening.run)).length, append: (drafts) => journal.append(drafts) };
};

const tell = (words: string): void => {
  writeSync(1, `${words}\n`);
};

const [kind, place] = process.argv.slice(2);
tell("opening");
const writer = await (kind === "file" ? fileWriter(place!) : databaseWriter(place!));
let at = writer.lines;
if (writer.lines === 0) await writer.append([sampleOpening()]);

for (;;) {
  const blocks = [1, 7, 40].map((count) => {
    // The clock of the run may stand, but never fall, whichever of these is written first.
    const block = { ...sampleReadings(at, count), at };
    return { block, count };
  });
  const started = at;
  at += 1;
  await Promise.all(
    blocks.map(async ({ block, count }) => {
      for (const { n } of await writer.append([block])) tell(`${n} ${started} ${count}`);
    }),
  );
}
