import { beforeAll, describe, expect, it } from "vitest";
import { readPdf, type ReadPdf } from "../fixtures/read-pdf.test-support.ts";
import { adjustedItem, fittedTable, sampleJob, sampleLog, sampleResult } from "../fixtures/sample-run.test-support.ts";
import { renderCertificate } from "./render-certificate.ts";

const job = sampleJob();
const rendered = (rows: number) => {
  const plain = adjustedItem(job);
  const fit = fittedTable({ from: -50, rows, step: 5 });
  const items = [{ ...plain, passes: plain.passes.map((pass) => (pass.pass === "as-left" ? { ...pass, fit } : pass)) }];
  return renderCertificate({
    log: sampleLog(job, items),
    result: sampleResult(job, items),
    issued: { date: "2026-04-02" },
  });
};

describe.each([2, 12, 13, 37, 60])("a fitted item with a table of %d rows on paper", (rows) => {
  const certificate = rendered(rows);
  let pdf: ReadPdf;
  beforeAll(async () => {
    pdf = await readPdf(certificate.pdf);
  });

  it("has its coefficients and the whole table on one page", () => {
    const page = pdf.pages.find((text) => text.includes("Table from −50 °C"))!;
    expect(page).toMatch(/What the equation gives/);
    for (let index = 0; index < rows; index += 1) {
      const temperature = -50 + index * 5;
      expect(page).toContain(` ${String(temperature).replace("-", "−")} `);
    }
    expect(pdf.text).toMatch(/R₀ 100\.038455 8\.6·10⁻³ Ω/);
    // No character without a glyph, no remark of the typesetter.
    expect(certificate.check.warnings.filter(({ clause }) => clause === "7.8.1.2")).toEqual([]);
  });
});

describe("a fitted item in the machine-readable certificate", () => {
  const { xml } = rendered(20);

  it("has its coefficients as plain numbers, each with its name, unit and standard uncertainty", () => {
    expect(xml).toMatch(/refType="dwellpoint_coefficient">\s*<dcc:name>\s*<dcc:content>A in °C⁻¹/);
    expect(xml).toContain("<si:value>3.90821813e-3</si:value>");
    expect(xml).toContain("Standard uncertainty: 1.2e-6");
  });

  it("has the table as lists of one length", () => {
    const part = xml.slice(xml.indexOf("gp_table2"));
    const lists = [...part.matchAll(/<si:valueXMLList>([^<]*)</g)]
      .slice(0, 4)
      .map(([, list]) => list!.split(" ").length);
    expect(lists).toEqual([20, 20, 20, 20]);
    expect(part).toContain("<si:unitXMLList>\\ohm</si:unitXMLList>");
  });
});
