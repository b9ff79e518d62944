import { readFileSync, truncateSync } from "node:fs";
import * as fc from "fast-check";
import { expect, it } from "vitest";
import { parseLog, type EventDraft } from "#calibration";
import { openFileJournal, openRecords, type FileJournal } from "../index.ts";
import { sampleOpening, sampleReadings } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const seed = 611;

/** Drafts whose clock stands where that of the log stands, so that any order of them may stand there; and some that may not. */
const draft: fc.Arbitrary<EventDraft> = fc.oneof(
  fc
    .record({ count: fc.integer({ min: 1, max: 30 }), from: fc.integer({ min: 0, max: 1000 }) })
    .map(({ count, from }) => ({ ...sampleReadings(from, count), at: 0 })),
  fc
    .string({ unit: "grapheme", minLength: 1 })
    .map((text) => ({ kind: "note-added" as const, at: 0, text, by: "Orla Penhallow (demo)" })),
  fc.double({ noNaN: true, noDefaultInfinity: true }).map((temperature) => ({
    kind: "set-point-commanded" as const,
    at: 0,
    pass: "as-found" as const,
    point: 0,
    temperature,
  })),
  fc.constantFrom<EventDraft>(sampleOpening(), { kind: "note-added", at: 0, text: "", by: "nobody" }),
);

const appends = fc.array(fc.array(draft, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 6 });

/** Appends at the same time, to the end of the file torn off, to closing and opening: what may happen to a log in a file. */
const steps = fc.array(
  fc.oneof(
    appends.map((drafts) => ({ drafts, tear: 0 })),
    fc.integer({ min: 2, max: 60 }).map((tear) => ({ drafts: [], tear })),
  ),
  {
    maxLength: 8,
  },
);

it(`both journals keep the same lines, whatever is appended (seed ${seed}) [R2, R4, R11]`, async () => {
  using folder = new ScratchFolder();
  const records = await openRecords(folder.path);
  let count = 0;
  await fc.assert(
    fc.asyncProperty(fc.array(appends, { maxLength: 5 }), async (rounds) => {
      count += 1;
      const opening = sampleOpening(`run-${count}`);
      const path = folder.file(`run-${count}.jsonl`);
      const file = await openFileJournal(path);
      const database = await records.openRunJournal(opening);
      await file.append([opening]);
      for (const round of rounds) {
        const [filed, recorded] = await Promise.all(
          [file, database].map((journal) => Promise.allSettled(round.map((drafts) => journal.append(drafts)))),
        );
        expect(filed!.map(({ status }) => status)).toEqual(recorded!.map(({ status }) => status));
      }
      await file.close();
      expect(await records.exportLog(opening.run)).toBe(readFileSync(path, "utf8"));
      expect(await records.readLog(opening.run)).toEqual(parseLog(readFileSync(path, "utf8").split("\n")));
    }),
    { seed, numRuns: 60 },
  );
  await records.close();
});

it(`a log in a file is its answered lines, however it is torn and opened again (seed ${seed}) [R3, R12]`, async () => {
  using folder = new ScratchFolder();
  let count = 0;
  await fc.assert(
    fc.asyncProperty(steps, async (taken) => {
      count += 1;
      const path = folder.file(`torn-${count}.jsonl`);
      let journal: FileJournal = await openFileJournal(path);
      let lines = (await journal.append([sampleOpening()])).map((event) => event.n);
      for (const { drafts, tear } of taken) {
        const answers = await Promise.allSettled(drafts.map((each) => journal.append(each)));
        for (const answer of answers) if (answer.status === "fulfilled") lines.push(...answer.value.map(({ n }) => n));
        await journal.close();
        const bytes = readFileSync(path);
        const last = bytes.length - (bytes.subarray(0, -1).lastIndexOf(0x0a) + 1);
        // The first line stays: without it there is no run.
        if (tear > 0 && lines.length > 1) {
          truncateSync(path, bytes.length - Math.min(tear, last - 1));
          lines = lines.slice(0, -1);
        }
        const read: number[] = [];
        journal = await openFileJournal(path, ({ n }) => read.push(n));
        expect(read).toEqual(lines);
        expect(journal.lines).toBe(lines.length);
      }
      await journal.close();
      expect(lines).toEqual(lines.map((_, index) => index));
    }),
    { seed, numRuns: 60 },
  );
});
