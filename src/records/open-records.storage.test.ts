import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import type { Readable } from "node:stream";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { FileSizeLimit } from "./file-size-limit.test-support.ts";
import { openRecords } from "./index.ts";
import { ReadOnlyFolder } from "./read-only-folder.test-support.ts";
import { sampleEvents, sampleOpening, sampleReadings } from "./sample-log.test-support.ts";
import { ScratchFolder } from "./scratch-folder.test-support.ts";

const writer = fileURLToPath(new URL("journal/endless-writer.test-support.ts", import.meta.url));

/** Resolves when the writer has told of appends; it goes on telling. */
const firstAnswers = (output: Readable): Promise<void> =>
  new Promise((resolve) => {
    let told = "";
    output.setEncoding("utf8").on("data", (text: string) => {
      told += text;
      if (told.split("\n").length > 2) resolve();
    });
  });

describe("a data folder that cannot be written", () => {
  it("is refused with its name and what to do; the program lives [R15]", async () => {
    using folder = new ScratchFolder();
    using readOnly = new ReadOnlyFolder();
    writeFileSync(folder.file("a-file"), "kept");
    for (const place of [
      folder.file("a-file"),
      folder.file("a-file/inside"),
      readOnly.path,
      `${readOnly.path}/inside`,
      "/dev/null",
    ]) {
      await expect(openRecords(place)).rejects.toMatchObject({
        code: "records.read-only",
        message: expect.stringMatching(/cannot be written .*Choose a folder/),
        data: { place },
      });
    }
    expect(readFileSync(folder.file("a-file"), "utf8")).toBe("kept");
  });

  it("is made, with all on the way to it, where there is none", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.file("one/two"));
    await records.close();
    expect(existsSync(folder.file("one/two/records.sqlite"))).toBe(true);
  });

  it("records nothing of a call when it is full, and goes on when there is room [R4, R15]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    const journal = await records.openRunJournal(sampleOpening());
    await journal.append(sampleEvents());
    const before = await records.exportLog("run-1");
    const large = { ...sampleReadings(29, 20_000), at: 29 };
    {
      using _limit = new FileSizeLimit(400_000);
      const refused = await Promise.allSettled([
        journal.append([large]),
        journal.append([{ kind: "note-added", at: 29, text: "more", by: "somebody" }]),
      ]);
      for (const each of refused)
        expect(each).toMatchObject({
          status: "rejected",
          reason: { code: "records.read-only", data: { place: folder.path } },
        });
      expect(await records.exportLog("run-1")).toBe(before);
      expect(await records.readRun("run-1")).toMatchObject({ events: 14, outcome: "completed" });
    }
    expect((await journal.append([large]))[0]).toMatchObject({ n: 14 });
    expect(await records.verifyChain("run-1")).toMatchObject({ whole: true, entries: 15 });
    await records.close();
  });
});

describe("a data folder that is in use", () => {
  it("is refused to a second one in the same process, and free after closing [R7]", async () => {
    using folder = new ScratchFolder();
    const records = await openRecords(folder.path);
    await expect(openRecords(folder.path)).rejects.toMatchObject({
      code: "records.busy",
      message: expect.stringContaining(folder.path),
    });
    await records.close();
    await (await openRecords(folder.path)).close();
  });

  it("is refused while another process has it, and free at once when that one is killed [R7]", async () => {
    using folder = new ScratchFolder();
    const child = spawn(process.execPath, ["--disable-warning=ExperimentalWarning", writer, "database", folder.path], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    try {
      await firstAnswers(child.stdout);
      await expect(openRecords(folder.path)).rejects.toMatchObject({
        code: "records.busy",
        message: expect.stringContaining(folder.path),
      });
    } finally {
      const closed = once(child, "close");
      child.kill("SIGKILL");
      await closed;
    }
    const records = await openRecords(folder.path);
    expect((await records.readLog("run-1")).length).toBeGreaterThan(1);
    await records.close();
  });
});
