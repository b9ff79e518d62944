import { describe, expect, it } from "vitest";
import type { EventDraft, RunEvent } from "#calibration";
import { openFileJournal, openRecords } from "../index.ts";
import { sampleOpening, sampleReadings } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";

const channels = 4;
const rounds = 60;
const readings = 25;

/** A bench with several channels: each round they append a block each at the same time, and wait until it is durable. */
const measure = async (
  what: string,
  append: (drafts: readonly EventDraft[]) => Promise<readonly RunEvent[]>,
): Promise<number> => {
  const started = performance.now();
  let events = 0;
  for (let round = 0; round < rounds; round += 1) {
    const block = sampleReadings(round * readings + 1, readings);
    const answers = await Promise.all(Array.from({ length: channels }, () => append([block])));
    events += answers.flat().length;
  }
  const seconds = (performance.now() - started) / 1000;
  console.log(
    `${what}: ${Math.round((events * readings) / seconds)} readings a second made durable, in blocks of ${readings} on ${channels} channels; ` +
      `${((seconds / rounds) * 1000).toFixed(2)} ms a round`,
  );
  return events;
};

describe("readings made durable", () => {
  it("are all in the log in a file when they were answered [R3]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    const journal = await openFileJournal(path);
    await journal.append([sampleOpening()]);
    const events = await measure("file", (drafts) => journal.append(drafts));
    await journal.close();
    const again = await openFileJournal(path);
    expect(again.lines).toBe(events + 1);
    await again.close();
  });

  it("are all in the database when they were answered [R3]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    const journal = await records.openRunJournal(sampleOpening());
    const events = await measure("database", (drafts) => journal.append(drafts));
    expect(await records.readLog("run-1")).toHaveLength(events + 1);
    expect(await records.verifyChain("run-1")).toMatchObject({ whole: true });
    await records.close();
  });
});
