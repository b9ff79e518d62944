import { expect, test, describe, beforeAll } from "vitest";
import type { Job } from "#calibration";
import { readPdf, type ReadPdf } from "../fixtures/read-pdf.test-support.ts";
import {
  measuredPoint,
  passResult,
  sampleJob,
  sampleLog,
  sampleResult,
  sampleRun,
} from "../fixtures/sample-run.test-support.ts";
import { renderCertificate } from "./render-certificate.ts";

describe("the PDF of a run as found, adjusted and as left", () => {
  const run = sampleRun();
  const rendered = renderCertificate(run);
  let pdf: ReadPdf;
  beforeAll(async () => {
    pdf = await readPdf(rendered.pdf);
  });

  test("carries its number and page n of m on every page, and an end mark on the last only", () => {
    expect(pdf.pages.length).toBeGreaterThan(1);
    for (const [index, page] of pdf.pages.entries()) {
      expect(page).toContain("CVC-2026-00412");
      expect(page).toContain(`Page ${index + 1} of ${pdf.pages.length}`);
      expect(page.includes("End of certificate CVC-2026-00412")).toBe(index === pdf.pages.length - 1);
    }
  });

  test("says on every page that it is a rehearsal", () => {
    for (const page of pdf.pages)
      expect(page).toContain("Rehearsal on a simulated bench — not a calibration certificate");
  });

  test.each([
    ["title", "Calibration certificate"],
    ["laboratory", "Calder Vale Calibration"],
    ["customer", "Marrow & Finch Preserves"],
    ["place", "Orchard Works, pasteuriser hall, line 2"],
    ["days of the work, over midnight UTC", "2026-03-30 to 2026-03-31"],
    ["day of issue", "2026-04-02"],
    ["method", "CVC-M-03, revision 4"],
    ["item", "TT-204"],
    ["serial number", "HX-88213"],
    ["condition", "Clean, connection head dry, no damage seen"],
    ["ambient conditions", "(22.5 ± 2) °C"],
    ["traceability", "certificate NT-25-3391 of 2025-11-04, Northern Thermometry Laboratory"],
    ["scale", "International Temperature Scale of 1990"],
    ["readout", "NT-25-3402"],
    ["decision rule", "Guard band w = U on each side"],
    ["level of risk", "2.5 % or less (ILAC-G8:09/2019)"],
    ["coverage", "coverage probability of about 95.45 %"],
    ["as found", "Results as found, before any adjustment"],
    ["as left", "Results as left"],
    ["adjustment", "changed by −0.400 K at the lower end of its range"],
    ["what was not calibrated", "The input, the display and the control system"],
    ["scope", "The results relate only to the items calibrated"],
    ["reproduction", "reproduced only in full"],
    ["who measured", "Imke Torvald"],
    ["who authorises", "Rosalind Achterberg"],
  ])("states the %s", (_, words) => {
    expect(pdf.text).toContain(words);
  });

  test("holds each point's reference, indication, error, U and decision as they were reported", () => {
    for (const pass of run.result.items[0]!.passes) {
      for (const point of pass.points) {
        if (point.status !== "measured") throw new Error("every point of the sample is measured");
        const { reference, indication, error, U, k } = point.reported;
        const decision = point.conformity?.decision === "pass" ? "Pass" : "Fail";
        const row = [reference, indication, error, U, k].map((text) => text.replace("-", "−")).join(" ?");
        expect(pdf.text).toMatch(new RegExp(`${row} ?±0\\.5 ?±0\\.\\d+ ?[<\\d. ]+% ?${decision}`));
      }
    }
  });

  test("is PDF/A-3, tagged, with every font embedded", () => {
    expect(pdf.metadata).toMatch(/<pdfaid:part>3<\/pdfaid:part>/);
    expect(pdf.metadata).toMatch(/<pdfaid:conformance>A<\/pdfaid:conformance>/);
    expect(pdf.alternatives.join(" ")).toContain("Errors of TT-204 over temperature");
    expect(pdf.title).toContain("Calibration certificate CVC-2026-00412");
    expect(pdf.fonts.length).toBeGreaterThanOrEqual(2);
    expect(pdf.fonts.filter(({ embedded }) => !embedded)).toEqual([]);
  });

  test("has the XML attached, byte for byte", () => {
    expect(Object.keys(pdf.attachments)).toEqual(["certificate.xml"]);
    expect(new TextDecoder().decode(pdf.attachments["certificate.xml"])).toBe(rendered.xml);
  });

  test("is the same to the byte when it is rendered again, and another when the issue data are", () => {
    const again = renderCertificate(sampleRun());
    expect(Buffer.compare(again.pdf, rendered.pdf)).toBe(0);
    expect(again.xml).toBe(rendered.xml);
    const other = renderCertificate({ ...run, issued: { date: "2026-04-03" } });
    expect(Buffer.compare(other.pdf, rendered.pdf)).not.toBe(0);
  });

  test("is set without a remark of the typesetter, and without a character that the fonts lack", () => {
    expect(rendered.check.warnings.filter(({ clause }) => clause === "7.8.1.2")).toEqual([]);
  });

  test("says nothing of a next calibration", () => {
    expect(pdf.text).not.toMatch(/next calibration|recalibrat|interval/i);
  });
});

const withItems = (job: Job, count: number): Job => ({
  ...job,
  items: Array.from({ length: count }, (_, index) => ({
    ...job.items[0]!,
    id: `item-${index}`,
    tag: `TT-${300 + index}`,
    serial: `S-${index}`,
  })),
  procedure: {
    ...job.procedure,
    passes: ["as-found"],
    points: Array.from({ length: 30 }, (_, i) => ({ temperature: 5 * i })),
  },
});

describe("paper for hard cases", () => {
  test("thirty points of three items keep their header on every page of a table", async () => {
    const job = sampleJob((plain) => withItems(plain, 3));
    const items = job.items.map((item) => ({
      item: item.id,
      tag: item.tag,
      passes: [
        passResult(
          "as-found",
          job.procedure.points.map((_, i) => measuredPoint(job, i, { error: 0.01 * (i - 15), U: 0.05 })),
        ),
      ],
      adjustment: null,
    }));
    const pdf = await readPdf(
      renderCertificate({
        log: sampleLog(job, items),
        result: sampleResult(job, items),
        issued: { date: "2026-04-02" },
      }).pdf,
    );
    for (const item of job.items) expect(pdf.text).toContain(`Item ${item.tag}`);
    const withRows = pdf.pages.filter((page) => /±0\.5 ?±0\.45 ?<? ?[\d.]+ ?% ?Pass/.test(page));
    expect(withRows.length).toBeGreaterThanOrEqual(3);
    for (const page of withRows) expect(page).toContain("Acceptance");
  });

  test("names in other scripts are set, and what no font has is shown by its code and warned of", async () => {
    const name = "Пастеризатор Ωμέγα 温度計 🌡 \u202eevil";
    const run = sampleRun((job) => ({ ...job, customer: { ...job.customer, name } }));
    const { pdf, xml, check } = renderCertificate(run);
    const { text, fonts } = await readPdf(pdf);
    expect(text).toContain("Пастеризатор Ωμέγα 温度計 [U+1F321] [U+202E]evil");
    expect(fonts.every(({ embedded }) => embedded)).toBe(true);
    expect(check.warnings.map(({ message }) => message).join(" ")).toContain("[U+1F321], [U+202E]");
    expect(xml).toContain("温度計 🌡");
  });

  test("text that looks like markup stays text", async () => {
    const hostile = '#set page(width: 1cm) *bold* $x$ <label> @ref </dcc:name>& "quoted" \\u{41} #read("/etc/passwd")';
    const run = sampleRun((job) => ({ ...job, place: hostile, conditions: { ...job.conditions, remarks: hostile } }));
    const { pdf, xml } = renderCertificate(run);
    const { text } = await readPdf(pdf);
    expect(text.replaceAll(" ", "")).toContain(hostile.replaceAll(" ", ""));
    expect(xml).toContain("&lt;/dcc:name&gt;&amp;");
  });

  test("a certificate that lacks something can be looked at, and says on every page that it is not fit for issue", async () => {
    const run = sampleRun((job) => ({ ...job, authorisedBy: undefined }));
    const { pdf, check } = renderCertificate(run);
    expect(check.stops).toHaveLength(1);
    for (const page of (await readPdf(pdf)).pages) expect(page).toContain("Not fit for issue");
  });

  test("a preview says so on every page", async () => {
    const run = sampleRun();
    const { pdf } = renderCertificate({ ...run, issued: { ...run.issued, preview: true } });
    for (const page of (await readPdf(pdf)).pages) expect(page).toContain("Preview — not issued");
  });

  test("a real run has no band, and needs no optional field", async () => {
    const run = sampleRun((job) => ({
      ...job,
      rehearsal: false,
      certificate: undefined,
      conditions: { ambientTemperature: job.conditions.ambientTemperature },
      items: job.items.map((item) => ({
        ...item,
        model: undefined,
        place: undefined,
        condition: undefined,
        range: undefined,
        immersion: undefined,
      })),
    }));
    const { pdf, check } = renderCertificate(run);
    const { text } = await readPdf(pdf);
    expect(check.stops).toEqual([]);
    expect(text).not.toContain("Rehearsal");
    expect(text).not.toContain("undefined");
    expect(text).toContain("CV-2026-0117");
  });

  test("an item of one point, and one without any tolerance, are drawn", async () => {
    const job = sampleJob((plain) => ({
      ...plain,
      procedure: { ...plain.procedure, passes: ["as-found"], points: [{ temperature: 100 }] },
    }));
    const bare = {
      ...measuredPoint(job, 0, { error: 0.1, U: 0.05 }),
      conformity: null,
      conformityNote: "the class ends below this point",
    };
    const items = [{ item: "tt-204", tag: "TT-204", adjustment: null, passes: [passResult("as-found", [bare])] }];
    const { text } = await readPdf(
      renderCertificate({
        log: sampleLog(job, items),
        result: sampleResult(job, items),
        issued: { date: "2026-04-02" },
      }).pdf,
    );
    expect(text).toContain("No conformity is stated at 100 °C: the class ends below this point.");
    expect(text).toContain("None stated");
  });
});
