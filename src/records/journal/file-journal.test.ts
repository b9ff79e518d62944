import { createHash } from "node:crypto";
import {
  appendFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  statSync,
  truncateSync,
  unlinkSync,
  writeFileSync,
} from "node:fs";
import { describe, expect, it } from "vitest";
import { parseLog, type EventDraft } from "#calibration";
import { canonicalJson } from "../chain/canonical-json.ts";
import { FileSizeLimit } from "../file-size-limit.test-support.ts";
import { ReadOnlyFolder } from "../read-only-folder.test-support.ts";
import { sampleEvents, sampleOpening, sampleReadings } from "../sample-log.test-support.ts";
import { ScratchFolder } from "../scratch-folder.test-support.ts";
import { openFileJournal } from "./file-journal.ts";

const opening = sampleOpening();
const odd = <T extends object>(draft: EventDraft, change: T): EventDraft => ({ ...draft, ...change }) as EventDraft & T;
const readLines = (path: string): string[] => readFileSync(path, "utf8").split("\n");

/** A log of `count` readings behind its opening, closed. */
const writtenLog = async (path: string, count = 2): Promise<void> => {
  const journal = await openFileJournal(path);
  await journal.append([opening, ...Array.from({ length: count }, (_, index) => sampleReadings(index + 1))]);
  await journal.close();
};

describe("a run log in a file", () => {
  it("holds one canonical text a line, so that the hash of the file is the hash of the log [R5, R11]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    const journal = await openFileJournal(path);
    const events = await journal.append([opening, ...sampleEvents()]);
    await journal.close();
    const bytes = readFileSync(path);
    const hash = createHash("sha256");
    for (const event of events) hash.update(`${canonicalJson(event)}\n`);
    expect(createHash("sha256").update(bytes).digest("hex")).toBe(hash.digest("hex"));
    expect(parseLog(bytes.toString("utf8").split("\n"))).toEqual(events);
  });

  it("numbers events without a gap, whoever appends at the same time [R2]", async () => {
    using folder = new ScratchFolder();
    const journal = await openFileJournal(folder.file("run-1.jsonl"));
    const readings = Array.from({ length: 40 }, (_, index) => ({ ...sampleReadings(1, index + 1), at: 1 }));
    const answers = await Promise.all([
      journal.append([opening]),
      ...readings.map((draft) => journal.append([draft, draft])),
    ]);
    await journal.close();
    expect(answers.flat().map(({ n }) => n)).toEqual(Array.from({ length: 81 }, (_, index) => index));
    expect(journal.lines).toBe(81);
    expect(parseLog(readLines(folder.file("run-1.jsonl")))).toEqual(answers.flat());
  });

  it("goes on where it ended when it is opened again [R2]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    await writtenLog(path);
    const read: number[] = [];
    const journal = await openFileJournal(path, ({ n }) => read.push(n));
    expect(read).toEqual([0, 1, 2]);
    expect(await journal.append([sampleReadings(9)])).toEqual([{ ...sampleReadings(9), n: 3 }]);
    await journal.close();
    expect(parseLog(readLines(path))).toHaveLength(4);
    expect(readdirSync(folder.path)).toEqual(["run-1.jsonl"]);
  });

  it.each<[string, EventDraft, RegExp]>([
    ["a value that is not a number", odd(sampleReadings(5), { values: [Number.NaN] }), /values\.0/],
    ["a second opening", opening, /open/],
    ["a time before the last", sampleReadings(0), /before 2 s/],
    ["a field that no event has", odd(sampleReadings(5), { colour: "blue" }), /colour/],
  ])("refuses %s, alone, and writes nothing of it [R4]", async (_, draft, words) => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    await writtenLog(path);
    const journal = await openFileJournal(path);
    const [before, refused, after] = await Promise.allSettled([
      journal.append([sampleReadings(2)]),
      journal.append([sampleReadings(2), draft]),
      journal.append([sampleReadings(3)]),
    ]);
    await journal.close();
    expect(refused).toMatchObject({
      status: "rejected",
      reason: { code: "log.invalid", message: expect.stringMatching(words) },
    });
    expect([before.status, after.status]).toEqual(["fulfilled", "fulfilled"]);
    expect(parseLog(readLines(path)).map(({ n, at }) => [n, at])).toEqual([
      [0, 0],
      [1, 1],
      [2, 2],
      [3, 2],
      [4, 3],
    ]);
  });

  it("refuses to begin with anything but an opening [R4]", async () => {
    using folder = new ScratchFolder();
    const journal = await openFileJournal(folder.file("run-1.jsonl"));
    await expect(journal.append([sampleReadings(1)])).rejects.toMatchObject({ code: "log.invalid" });
    await journal.close();
    await expect(journal.append([opening])).rejects.toMatchObject({ code: "run.not-allowed" });
    expect(statSync(folder.file("run-1.jsonl")).size).toBe(0);
  });
});

describe("a run log that a crash tore", () => {
  it("loses the torn last line and nothing else, wherever it was torn [R12]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    await writtenLog(path);
    const whole = readFileSync(path);
    const start = whole.subarray(0, -1).lastIndexOf(0x0a) + 1;
    for (let length = start + 1; length < whole.length - 1; length += 7) {
      writeFileSync(path, whole.subarray(0, length));
      const journal = await openFileJournal(path);
      expect(journal.lines).toBe(2);
      await journal.append([sampleReadings(2)]);
      await journal.close();
      expect(readFileSync(path)).toEqual(whole);
    }
  });

  it("keeps a last line that lacks nothing but its line feed [R12]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    await writtenLog(path);
    const whole = readFileSync(path);
    truncateSync(path, whole.length - 1);
    const journal = await openFileJournal(path);
    expect(journal.lines).toBe(3);
    await journal.close();
    expect(readFileSync(path)).toEqual(whole);
  });

  it.each([
    ["a torn opening", '{"at":0,"catal'],
    ["the zeros of a crashed machine", "\0\0\0\0"],
  ])("begins anew behind %s [R12]", async (_, rest) => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    writeFileSync(path, rest);
    await writtenLog(path);
    expect(parseLog(readLines(path))).toHaveLength(3);
  });

  it.each([
    ["a text of another kind", "name: value\n"],
    ["a file that is no text", "\u0089PNG\u0000\u0001"],
    ["a log with a damaged line in the middle", '{"kind":"run-opened"}\n{}\n'],
  ])("leaves %s as it is [R12]", async (_, content) => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    writeFileSync(path, content);
    await expect(openFileJournal(path)).rejects.toMatchObject({
      code: "log.invalid",
      message: expect.stringContaining(path),
    });
    expect(readFileSync(path, "utf8")).toBe(content);
    expect(existsSync(`${path}.lock`)).toBe(false);
  });
});

describe("a run log that cannot be written", () => {
  it("appends nothing when there is no room, and goes on when there is [R4, R15]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    await writtenLog(path);
    const before = readFileSync(path);
    const journal = await openFileJournal(path);
    {
      using _limit = new FileSizeLimit(before.length + 100);
      const refused = await Promise.allSettled([
        journal.append([sampleReadings(3)]),
        journal.append([sampleReadings(4, 50)]),
      ]);
      for (const each of refused) {
        expect(each).toMatchObject({
          status: "rejected",
          reason: { code: "records.read-only", message: expect.stringMatching(/no room.*Make room/) },
        });
      }
      expect(readFileSync(path)).toEqual(before);
      expect(journal.lines).toBe(3);
    }
    expect((await journal.append([sampleReadings(3)]))[0]).toMatchObject({ n: 3 });
    await journal.close();
    expect(parseLog(readLines(path))).toHaveLength(4);
  });

  it("says which place cannot be written, and what to do [R15]", async () => {
    using folder = new ScratchFolder();
    using readOnly = new ReadOnlyFolder();
    writeFileSync(folder.file("a-file"), "");
    for (const path of [
      folder.path,
      folder.file("missing/run-1.jsonl"),
      folder.file("a-file/run-1.jsonl"),
      `${readOnly.path}/run-1.jsonl`,
    ]) {
      await expect(openFileJournal(path)).rejects.toMatchObject({
        code: "records.read-only",
        message: expect.stringMatching(/cannot be written .*Choose a folder/),
        data: { place: path },
      });
    }
  });

  it.each([
    ["was changed", (path: string) => appendFileSync(path, "{}\n")],
    ["was removed", unlinkSync],
  ])("appends nothing to a file that %s meanwhile [R4, R15]", async (words, meddle) => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    await writtenLog(path);
    const journal = await openFileJournal(path);
    meddle(path);
    await expect(journal.append([sampleReadings(3)])).rejects.toMatchObject({
      code: "records.conflict",
      message: expect.stringContaining(words),
    });
    await journal.close();
  });

  it("is written by one at a time [R7]", async () => {
    using folder = new ScratchFolder();
    const path = folder.file("run-1.jsonl");
    const journal = await openFileJournal(path);
    await expect(openFileJournal(path)).rejects.toMatchObject({
      code: "records.busy",
      message: expect.stringContaining(path),
    });
    await journal.append([opening]);
    await journal.close();
    await (await openFileJournal(path)).close();
  });
});
