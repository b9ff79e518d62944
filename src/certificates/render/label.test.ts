import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import jsQR from "jsqr";
import { describe, expect, test } from "vitest";
import type { Job } from "#calibration";
import { certificateDocument } from "../document/certificate-document.ts";
import type { Language } from "../document/issue-data.ts";
import { itemLabel } from "../document/item-label.ts";
import { readPdf } from "../fixtures/read-pdf.test-support.ts";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { renderLabel } from "./label.ts";

const decode = jsQR as unknown as (
  data: Uint8ClampedArray,
  width: number,
  height: number,
) => { readonly data: string } | null;

/** What a reader of codes makes of the label when it is printed with 300 dots an inch. */
const codeOn = (pdf: Uint8Array): string | undefined => {
  const folder = mkdtempSync(join(tmpdir(), "dwellpoint-label-"));
  try {
    writeFileSync(join(folder, "label.pdf"), pdf);
    const done = spawnSync("pdftoppm", ["-r", "300", join(folder, "label.pdf"), join(folder, "label")]);
    if (done.error !== undefined)
      throw new Error("The program pdftoppm of Poppler is needed for this test: install poppler-utils.");
    const picture = readFileSync(join(folder, "label-1.ppm"));
    const [head = "", width = "", height = ""] =
      /^P6\s+(\d+)\s+(\d+)\s+255\s/.exec(picture.toString("latin1", 0, 64)) ?? [];
    const dots = new Uint8ClampedArray(Number(width) * Number(height) * 4).fill(255);
    for (let at = 0; at < dots.length / 4; at += 1)
      for (let part = 0; part < 3; part += 1) dots[4 * at + part] = picture[head.length + 3 * at + part]!;
    return decode(dots, Number(width), Number(height))?.data;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const labelOf = (change: (job: Job) => Job = (job) => job, language: Language = "en") => {
  const run = sampleRun(change);
  return itemLabel(
    certificateDocument({ ...run, language, logHash: "0123456789abcdef".repeat(4), fit: true }),
    "tt-204",
  );
};
const agreed = (job: Job): Job => ({ ...job, interval: { months: 12, agreedWith: "Maintenance office" } });

describe("the label of an item", () => {
  test("names item, day, certificate and the last result, and no next calibration", () => {
    const label = labelOf((job) => ({ ...job, rehearsal: true }));
    expect(label).toMatchObject({
      heading: "TT-204",
      note: undefined,
      lines: [
        { label: "Serial no.", text: "HX-88213" },
        { label: "Calibrated", text: "2026-03-31" },
        { label: "Certificate", text: "CVC-2026-00412" },
        { label: "Result", text: "Pass" },
        { label: "", text: expect.stringContaining("Rehearsal") },
      ],
    });
    expect(label.code).not.toContain("due");
  });

  test("names the next calibration where it was agreed, in the certificate's language", () => {
    expect(labelOf(agreed, "de").note).toBe("Nächste Kalibrierung 31. März 2027");
    expect(labelOf(agreed, "fr").note).toBe("Prochain étalonnage 31 mars 2027");
    expect(labelOf(agreed).code).toContain("due=2027-03-31");
  });

  test("of an item that the certificate does not have is refused", () => {
    const run = sampleRun();
    const document = certificateDocument({ ...run, language: "en", logHash: "", fit: true });
    expect(() => itemLabel(document, "tt-999")).toThrow(/no item tt-999/);
  });

  test.each(["en", "de", "es", "fr"] as const)(
    "in %s is set whole, and its code is read from a print",
    async (language) => {
      const label = labelOf(agreed, language);
      const pdf = renderLabel(label);
      expect(codeOn(pdf)).toBe(label.code);
      const { pages } = await readPdf(pdf);
      expect(pages).toHaveLength(1);
      for (const { text } of label.lines) expect(pages[0]).toContain(text.slice(0, 20));
      expect(Buffer.compare(renderLabel(label), pdf)).toBe(0);
    },
  );

  test("with the longest names is one page whose code is read all the same", async () => {
    const long = labelOf((job) => ({
      ...agreed(job),
      certificate: "C".repeat(64),
      items: job.items.map((item) => ({ ...item, tag: "PLANT-4711-".repeat(8), serial: "S".repeat(60) })),
    }));
    expect(long.code.length).toBeLessThanOrEqual(300);
    const pdf = renderLabel(long);
    expect((await readPdf(pdf)).pages).toHaveLength(1);
    expect(codeOn(pdf)).toBe(long.code);
  });

  test("a code that is too long is refused", () =>
    expect(() => renderLabel({ heading: "x", lines: [], code: "x".repeat(1001) })).toThrow(RangeError));
});
