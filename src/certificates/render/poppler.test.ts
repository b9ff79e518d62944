import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { certificateDocument } from "../document/certificate-document.ts";
import { sampleCertificates } from "../fixtures/sample-certificates.test-support.ts";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { renderLabel } from "./label.ts";
import { logHash } from "./log-hash.ts";
import { renderPdf } from "./pdf.ts";
import { renderCertificate } from "./render-certificate.ts";

/*
 * Every kind of certificate as the programs of Poppler see it (pdfinfo, pdffonts, pdfdetach, pdftotext): readers of PDF that have
 * nothing to do with what wrote it. The set-up brings them where it can; without them these tests fail and say so.
 */
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "dwellpoint-poppler-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const ask = (program: string, ...words: readonly string[]): string => {
  const done = spawnSync(program, words, { encoding: "utf8" });
  if (done.error !== undefined)
    throw new Error(`The program ${program} of Poppler is needed for this test: install poppler-utils.`);
  if (done.status !== 0) throw new Error(`${program} found fault with the file: ${done.stderr}`);
  return done.stdout;
};

const written = (name: string, bytes: Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  return path;
};

const fontsOf = (path: string): readonly { name: string; embedded: string; unicode: string }[] =>
  ask("pdffonts", path)
    .split("\n")
    .slice(2)
    .filter((line) => line.trim() !== "")
    .map((line) => {
      const [embedded, , unicode] = line.trim().split(/\s+/).slice(-5);
      return { name: line.slice(0, line.indexOf(" ")), embedded: embedded!, unicode: unicode! };
    });

describe.each(Object.entries(sampleCertificates))("%s", (name, make) => {
  const { pdf, xml, document, check } = renderCertificate(make());
  const file = (): string => written(`${name.replaceAll(" ", "-")}.pdf`, pdf);

  test("may be issued, and is tagged, titled, without script, form or lock", () => {
    expect(check.stops).toEqual([]);
    const info = Object.fromEntries(
      ask("pdfinfo", file())
        .split("\n")
        .map((line) => [line.slice(0, line.indexOf(":")), line.slice(line.indexOf(":") + 1).trim()]),
    );
    expect(info).toMatchObject({ Tagged: "yes", JavaScript: "no", Form: "none", Encrypted: "no" });
    expect(info["Title"]).toContain(`${document.title} ${document.number}`);
    expect(info["Author"]).toBe(document.laboratory.name);
    expect(Number(info["Pages"])).toBeGreaterThanOrEqual(3);
  });

  test("has every font in it, each with its Unicode", () => {
    const fonts = fontsOf(file());
    expect(fonts.length).toBeGreaterThanOrEqual(2);
    expect(fonts.filter(({ embedded, unicode }) => embedded !== "yes" || unicode !== "yes")).toEqual([]);
  });

  test("has the XML attached, byte for byte, and nothing else", () => {
    expect(ask("pdfdetach", "-list", file())).toMatch(/^1 embedded files?\n1: certificate\.xml\s*$/);
    const out = join(folder, "certificate.xml");
    ask("pdfdetach", "-save", "1", "-o", out, file());
    expect(readFileSync(out, "utf8")).toBe(xml);
  });

  test("gives its number, every reported figure and every statement as text", () => {
    const text = ask("pdftotext", "-layout", file(), "-").replaceAll(/\s+/gu, " ");
    const plain = (words: string): string => words.replaceAll(/\s+/gu, " ");
    expect(text).toContain(document.number);
    for (const { passes } of document.items)
      for (const { rows } of passes)
        for (const { error, U, decision } of rows)
          for (const words of [error.text, U.text, decision.word.split(" ")[0]!]) expect(text).toContain(plain(words));
    const raw = ask("pdftotext", "-raw", file(), "-").replaceAll(/[\s\u200b]+/gu, "");
    for (const { heading } of document.statements.slice(1)) expect(raw).toContain(heading.replaceAll(/\s+/gu, ""));
    expect(raw).toContain(document.record.logHash);
  });
});

describe("accessibility", () => {
  test("the same pages pass the typesetter's own checks of PDF/UA-1", () => {
    const { log, result } = sampleRun();
    for (const language of ["en", "de", "es", "fr"] as const) {
      const issued = { date: "2026-04-02", languages: [language] };
      const document = certificateDocument({ log, result, issued, language, logHash: logHash(log), fit: true });
      const { pdf } = renderPdf([document], "<a/>", {}, "ua-1");
      expect(Buffer.from(pdf).toString("latin1")).toContain("pdfuaid");
    }
  });

  test("a label is one small page with its words as text and its fonts in it", () => {
    const pdf = renderLabel({
      heading: "TT-204",
      lines: [{ label: "Serial no.", text: "HX-88213" }],
      code: "tag=TT-204",
      note: "Next calibration 2027-03-31",
    });
    const file = written("label.pdf", pdf);
    expect(ask("pdfinfo", file)).toMatch(/Pages:\s+1\n[\s\S]*Page size:\s+175\.7\d* x 82\.2\d* pts/);
    expect(ask("pdftotext", "-raw", file, "-")).toContain("Next calibration 2027-03-31");
    expect(fontsOf(file).every(({ embedded }) => embedded === "yes")).toBe(true);
  });
});
