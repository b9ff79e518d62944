import { describe, expect, test } from "vitest";
import type { Job } from "#calibration";
import { readPdf } from "../fixtures/read-pdf.test-support.ts";
import { sampleRun } from "../fixtures/sample-run.test-support.ts";
import { pictureFile } from "./picture-file.ts";
import { renderCertificate } from "./render-certificate.ts";

const text = (words: string): Uint8Array => new TextEncoder().encode(words);
const svg = (inside: string, attributes = ""): Uint8Array =>
  text(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"${attributes}>${inside}</svg>`);
/** Signature and header of a PNG (ISO/IEC 15948, from memory), without a picture behind it. */
const png = (width: number, height: number): Uint8Array => {
  const bytes = Buffer.alloc(64);
  Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13]).copy(bytes);
  bytes.write("IHDR", 12, "latin1");
  bytes.writeUInt32BE(width, 16);
  bytes.writeUInt32BE(height, 20);
  return bytes;
};

describe("a picture of the laboratory's own", () => {
  test.each<[string, Uint8Array, "png" | "svg"]>([
    ["a PNG", png(200, 80), "png"],
    ["an SVG", svg('<circle r="4"/>'), "svg"],
    ["an SVG with declaration and comment", text('<?xml version="1.0"?>\n<!-- logo -->\n<svg><g/></svg>'), "svg"],
    ["an SVG that uses its own parts", svg('<defs><g id="a"/></defs><use href="#a" fill="url(#b)"/>'), "svg"],
    ["an SVG with a picture inside", svg('<image href="data:image/png;base64,AAAA"/>'), "svg"],
  ])("%s is taken for what it is", (_, bytes, type) => {
    const read = pictureFile(bytes);
    expect(read.ok && read.value.type).toBe(type);
  });

  test.each<[string, Uint8Array, string]>([
    ["too many bytes", new Uint8Array(512 * 1024 + 1), "513 kB"],
    ["a PNG of too many dots", png(5000, 10), "5000 by 10 dots"],
    ["a PNG of no size", png(0, 10), "0 by 10 dots"],
    ["a cut PNG", png(10, 10).subarray(0, 20), "ends before its size"],
    ["a JPEG", Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, 0, 0]), "neither PNG nor SVG"],
    ["HTML", text("<html><svg/></html>"), "neither PNG nor SVG"],
    ["nothing", new Uint8Array(), "neither PNG nor SVG"],
    ["a script", svg("<script>x()</script>"), "a script"],
    ["an event handler", svg('<g onclick="x()"/>'), "an event handler"],
    ["HTML inside", svg("<foreignObject/>"), "foreign content"],
    ["a link to a network", svg('<image href="https://example.org/a.png"/>'), "outside"],
    ["a link to a disk", svg('<use xlink:href="file:///etc/passwd#a"/>'), "outside"],
    ["a style from elsewhere", svg("<style>@import 'a.css'</style>"), "imported style"],
    ["a filling from elsewhere", svg('<g fill="url(https://example.org/#a)"/>'), "outside"],
    ["a document type", text('<!DOCTYPE svg SYSTEM "a.dtd"><svg></svg>'), "document type"],
    ["an entity", text('<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>'), "neither PNG nor SVG"],
  ])("%s is refused", (_, bytes, words) => {
    const read = pictureFile(bytes);
    expect(read.ok ? "taken" : read.fault.message).toContain(words);
  });
});

describe("pictures on a certificate", () => {
  const drawing = (width: number) =>
    pictureFile(
      text(
        `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} 20"><rect width="${width}" height="20"/></svg>`,
      ),
    );
  const pictureOf = (width: number) => {
    const read = drawing(width);
    if (!read.ok) throw new Error(read.fault.message);
    return read.value;
  };
  const accredited = (job: Job): Job => ({
    ...job,
    laboratory: { ...job.laboratory, accreditation: "0000 (invented)", capability: [{ from: -20, to: 160, U: 0.05 }] },
  });

  test("have alternative texts, and the symbol stands there only within the scope", async () => {
    const pictures = { logo: pictureOf(60), symbol: pictureOf(2000) };
    const within = await readPdf(renderCertificate({ ...sampleRun(accredited), pictures }).pdf);
    expect(within.alternatives).toContain("Logo of the laboratory: Calder Vale Calibration");
    expect(within.alternatives).toContain("Accreditation symbol: 0000 (invented)");
    const outside = await readPdf(renderCertificate({ ...sampleRun(), pictures }).pdf);
    expect(outside.alternatives.some((words) => words.includes("symbol"))).toBe(false);
  });
});
