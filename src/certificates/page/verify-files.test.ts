import { inflate } from "node:zlib";
import { promisify } from "node:util";
import { describe, expect, test } from "vitest";
import { switchRun } from "../fixtures/switch-run.test-support.ts";
import { renderCertificate } from "../render/render-certificate.ts";
import { verifyFiles, type GivenFile } from "./verify-files.ts";

const unpack = async (bytes: Uint8Array): Promise<Uint8Array> => promisify(inflate)(bytes);
const run = switchRun([90.3, 86.9, 90.4, 86.8]);
const { pdf, xml } = renderCertificate(run);
const file = (name: string, content: Uint8Array | string): GivenFile => ({
  name,
  bytes: typeof content === "string" ? new TextEncoder().encode(content) : content,
});
const lines = run.log.map((event) => JSON.stringify(event)).join("\n");
const [paper, data, log] = [file("a.pdf", pdf), file("b.xml", xml), file("c.jsonl", `${lines}\n`)];

describe("files given to the page", () => {
  test.each([
    ["PDF and log", [paper, log], "holds"],
    ["log before XML", [log, data], "holds"],
    ["PDF, XML and log", [paper, data, log], "holds"],
    ["PDF alone", [paper], "unproven"],
    ["a file of another kind beside them", [paper, log, file("notes.txt", "hello")], "holds"],
    ["a PDF without the data", [file("d.pdf", "%PDF-1.7\n%%EOF"), log], "fails"],
    ["PDF and XML that differ", [paper, file("e.xml", xml.replace("Demo", "Other")), log], "fails"],
    ["a log that breaks off inside", [paper, file("f.jsonl", lines.slice(0, -40))], "fails"],
  ])("%s", async (_, given, verdict) => {
    const { report, files } = await verifyFiles(given, unpack);
    expect(report?.verdict).toBe(verdict);
    expect(files.map(({ name }) => name)).toEqual(given.map(({ name }) => name));
  });

  test.each([
    ["no certificate", [log], "Give a certificate"],
    ["nothing", [], "Give a certificate"],
    ["two logs", [paper, log, file("g.jsonl", lines)], "one log only"],
  ])("%s is asked for", async (_, given, words) => {
    const { report, trouble } = await verifyFiles(given, unpack);
    expect(report).toBeNull();
    expect(trouble).toContain(words);
  });

  test("each is told by its content and not by its name", async () => {
    const { files } = await verifyFiles([file("x", pdf), file("y", xml), file("z", lines), file("w", "?")], unpack);
    expect(files.map(({ taken }) => taken)).toEqual([
      "a certificate as PDF",
      "a certificate as XML",
      "a run log",
      "nothing that this page knows",
    ]);
  });
});
