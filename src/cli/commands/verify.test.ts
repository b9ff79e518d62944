import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { parseLog } from "#calibration";
import { canonicalJson, openRecords } from "#records";
import { ask } from "./ask.test-support.ts";
import { backup } from "./backup.ts";
import { certify } from "./certify.ts";
import { exportCommand } from "./export.ts";
import { importCommand } from "./import.ts";
import { restore } from "./restore.ts";
import { verify } from "./verify.ts";

const fixture = new URL("../../../test/fixtures/uncertainty/worked-run.jsonl", import.meta.url);

let folder: string;
let log: string;
const inFolder = (name: string): string => join(folder, name);

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "dwellpoint-verify-"));
  const events = parseLog((await readFile(fixture, "utf8")).split("\n"));
  log = events.map((event) => `${canonicalJson(event)}\n`).join("");
  await writeFile(inFolder("run.log.jsonl"), log);
  const records = await openRecords(inFolder("data"));
  await records.importLog(log);
  await records.close();
});

afterAll(() => rm(folder, { recursive: true }));

/** The text with a byte in it that no text has. */
const spoilt = (text: string, at: number): Buffer =>
  Buffer.concat([Buffer.from(text.slice(0, at)), Buffer.from([0xff]), Buffer.from(text.slice(at))]);

interface Checked {
  readonly file: string;
  readonly what: string;
  readonly holds: boolean;
  readonly breaks: readonly { readonly sentence: string }[];
  readonly remarks: readonly string[];
}

const checked = async (...files: string[]): Promise<{ code: number; answers: Checked[] }> => {
  const { code, text } = await ask(verify, "", files.map(inFolder));
  return {
    code,
    answers: text
      .trimEnd()
      .split("\n")
      .map((line) => JSON.parse(line) as Checked),
  };
};

describe("verify", () => {
  it("says of a log that its lines hold, and that alone it proves no more", async () => {
    const { code, answers } = await checked("run.log.jsonl");
    expect(code).toBe(0);
    expect(answers).toMatchObject([{ what: "log", holds: true, lines: log.split("\n").length - 1, breaks: [] }]);
    expect(answers[0]!.remarks.join(" ")).toMatch(/give its certificate, or the ledger, beside it/);
  });

  it.each<[string, (text: string) => string | Buffer, RegExp]>([
    ["a line gone", (text) => text.split("\n").toSpliced(4, 1).join("\n"), /a line is missing or out of place/],
    ["other spaces", (text) => text.replace('"n":3', '"n": 3'), /is not written as a log is/],
    ["a last line without its end", (text) => text.slice(0, -1), /no line feed behind it/],
    ["bytes that are no text", (text) => spoilt(text, text.indexOf('"title":"') + 9), /bytes in it that are no text/],
    ["nothing of a log in it", () => "hello\n", /Line 1/],
  ])("finds a log with %s", async (_, change, words) => {
    await writeFile(inFolder("changed.jsonl"), change(log));
    const { code, answers } = await checked("changed.jsonl");
    expect(code).toBe(1);
    expect(answers[0]).toMatchObject({ holds: false });
    expect(answers[0]!.breaks.map(({ sentence }) => sentence).join("\n")).toMatch(words);
  });

  it("works a certificate out anew from its log, figure by figure, from the XML and from the PDF", async () => {
    const made = await ask(certify, "", [
      inFolder("run.log.jsonl"),
      "--out",
      inFolder("out"),
      "--number",
      "C-7",
      "--authorised-by",
      "Idris Farrowby (demo)",
    ]);
    expect(made.errors).toBe("");
    const both = await checked("out/C-7.xml", "run.log.jsonl", "out/C-7.pdf");
    expect(both.answers.map(({ what, holds }) => [what, holds])).toEqual([
      ["certificate", true],
      ["log", true],
      ["certificate", true],
    ]);
    expect(both.code).toBe(0);
    const digit = await readFile(inFolder("out/C-7.xml"), "utf8");
    const at = /<si:valueXMLList>[^<]*?([0-8])(?=[^<]*<\/si:valueXMLList>)/.exec(digit)!;
    const place = at.index + at[0].length - 1;
    await writeFile(inFolder("out/other.xml"), `${digit.slice(0, place)}9${digit.slice(place + 1)}`);
    const other = await checked("out/other.xml", "run.log.jsonl");
    expect(other.code).toBe(1);
    expect(other.answers[0]!.breaks.length).toBeGreaterThan(0);
    // Another reading, and nothing else: the certificate is not of this log.
    await writeFile(inFolder("moved.jsonl"), log.replace(/"values":\[(-?\d+\.\d)/, '"values":[1$1'));
    const moved = await checked("moved.jsonl", "out/C-7.xml");
    expect(moved.code).toBe(1);
    expect(moved.answers[1]).toMatchObject({ what: "certificate", holds: false });
  }, 60_000);

  it("wants a file, and says which cannot be read", async () => {
    await expect(ask(verify, "")).rejects.toMatchObject({ code: "usage.wrong" });
    await expect(checked("none")).rejects.toMatchObject({ code: "input.invalid" });
    await expect(checked("")).rejects.toMatchObject({
      code: "input.invalid",
      message: expect.stringMatching(/is a folder/),
    });
  });
});

describe("backup, restore, export and import", () => {
  it("bring the records elsewhere and back, each checked [R24, R25]", async () => {
    const told = async (command: typeof backup, ...words: string[]): Promise<Record<string, unknown>> => {
      const { code, text } = await ask(command, "", words);
      expect(code).toBe(0);
      return JSON.parse(text) as Record<string, unknown>;
    };
    const made = await told(backup, "--data", inFolder("data"), "--to", inFolder("kept.sqlite"));
    const restored = await told(restore, inFolder("kept.sqlite"), "--data", inFolder("again"));
    expect(restored).toMatchObject({ entries: made["entries"], head: made["head"], runs: 1 });
    const exported = await told(exportCommand, "--data", inFolder("again"), "--to", inFolder("open"));
    const imported = await told(importCommand, inFolder("open"), "--data", inFolder("there"));
    expect(imported).toMatchObject({ entries: exported["entries"], station: made["station"], runs: 1 });
    const { code, answers } = await checked("kept.sqlite", "again", "open", "there", "open/ledger.jsonl", "data");
    expect(answers.map(({ what, holds }) => [what, holds])).toEqual([
      ["backup", true],
      ["data-folder", true],
      ["export", true],
      ["data-folder", true],
      ["ledger", true],
      ["data-folder", true],
    ]);
    expect(code).toBe(0);
    expect(
      await readFile(
        inFolder("open/runs/" + (answers[3] as unknown as { runs: { run: string }[] }).runs[0]!.run + ".log.jsonl"),
        "utf8",
      ),
    ).toBe(log);
  }, 60_000);

  it.each<[typeof backup, string[], RegExp]>([
    [backup, [], /backup wants --to FILE/],
    [restore, ["x"], /restore wants one backup, and --data DIR/],
    [exportCommand, ["x", "--to", "y"], /export wants --to FOLDER/],
    [importCommand, ["--data", "x"], /import wants one export, and --data DIR/],
  ])("say what they want", async (command, words, message) => {
    await expect(ask(command, "", words)).rejects.toMatchObject({
      code: "usage.wrong",
      message: expect.stringMatching(message),
    });
  });
});
