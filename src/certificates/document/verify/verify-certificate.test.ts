import { createHash } from "node:crypto";
import { inflate } from "node:zlib";
import { promisify } from "node:util";
import { describe, expect, test } from "vitest";
import { switchRun } from "../../fixtures/switch-run.test-support.ts";
import { sampleRun } from "../../fixtures/sample-run.test-support.ts";
import { renderCertificate } from "../../render/render-certificate.ts";
import { attachedFile } from "./attached-file.ts";
import { sha256Hex, utf8 } from "./sha256.ts";
import { verifyCertificate } from "./verify-certificate.ts";
import { readXml } from "./xml-tree.ts";

const unpack = async (bytes: Uint8Array): Promise<Uint8Array> => promisify(inflate)(bytes);

describe("SHA-256", () => {
  // FIPS 180-4: the examples of the Secure Hash Standard for "", "abc" and the text of 448 bits.
  test.each([
    ["", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"],
    ["abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"],
    [
      "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
      "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ],
  ])("of %j", (text, hash) => expect(sha256Hex(utf8(text))).toBe(hash));

  test.each([55, 56, 63, 64, 65, 119, 120, 1000])("agrees with the platform's at %i bytes", (length) => {
    const bytes = Uint8Array.from({ length }, (_, index) => (index * 37) % 251);
    expect(sha256Hex(bytes)).toBe(createHash("sha256").update(bytes).digest("hex"));
  });

  test("of text beyond ASCII, and of a lone surrogate", () =>
    expect(Buffer.from(utf8("Ω 温 🌡 \ud800"))).toEqual(Buffer.from("Ω 温 🌡 \ud800", "utf8")));
});

describe("reading XML", () => {
  test.each([
    ["<a><b></a>", "closes"],
    ["<a>", "not closed"],
    ["<a/><b/>", "exactly one root"],
    ['<!DOCTYPE a [<!ENTITY x "y">]><a>&x;</a>', "document type"],
    ["<a <b/>", "breaks off"],
  ])("%s is refused", (text, words) => {
    const read = readXml(text);
    expect(read.ok ? "" : read.fault.message).toContain(words);
  });

  test("entities, CDATA, comments and attributes", () => {
    const read = readXml(`<?xml version="1.0"?><a x='1 &amp; 2'><!-- <b> -->&lt;&#x41;&#66;<![CDATA[<c>]]></a>`);
    expect(read).toMatchObject({ ok: true, value: { name: "a", children: ["<AB", "<c>"] } });
    expect(read.ok && read.value.attributes.get("x")).toBe("1 & 2");
  });
});

describe("a certificate held against its log", () => {
  const run = switchRun([90.3, 86.9, 90.4, 86.8]);
  const { pdf, xml } = renderCertificate({ ...run, issued: { date: "2026-04-02", languages: ["fr"] } });

  test("the XML is taken out of the PDF, byte for byte", async () => {
    const taken = await attachedFile(pdf, "certificate.xml", unpack);
    expect(taken.ok && Buffer.from(taken.value).toString("utf8")).toBe(xml);
  });

  test("every figure comes out of the log again", () => {
    const report = verifyCertificate({ xml, log: run.log });
    expect(report).toMatchObject({ verdict: "holds", differences: [] });
    expect(report.compared).toBeGreaterThan(10);
    expect(report.certificate).toMatchObject({ number: "CVC-2026-00412", laboratory: "Calder Vale Calibration" });
  });

  test("one changed digit is named with its place, what it says and what it should say", () => {
    const [, value = ""] = /dwellpoint_tripTemperature[\s\S]*?<si:valueXMLList>([^<]*)</.exec(xml)!;
    const wrong = value.replace(/\d$/, (digit) => String((Number(digit) + 1) % 10));
    const report = verifyCertificate({
      xml: xml.replace(`<si:valueXMLList>${value}<`, `<si:valueXMLList>${wrong}<`),
      log: run.log,
    });
    expect(report.verdict).toBe("fails");
    expect(report.differences).toEqual([
      { where: "TSH-118, as found", what: "action 1, trip", stated: wrong, recomputed: value },
    ]);
  });

  test.each([
    ["a decision", "<dcc:conformityXMLList>pass", "<dcc:conformityXMLList>fail", "action 1, decision"],
    ["the customer", "Marrow &amp; Finch", "Somebody Else", "customer"],
    ["a serial number", "<dcc:value>118</dcc:value>", "<dcc:value>119</dcc:value>", "serial numbers"],
    ["the run", "<dcc:value>run-0117-1</dcc:value>", "<dcc:value>run-0117-2</dcc:value>", "run"],
  ])("%s that was changed is named", (_, from, to, what) => {
    const changed = xml.replace(from, to);
    expect(changed).not.toBe(xml);
    const report = verifyCertificate({ xml: changed, log: run.log });
    expect(report.differences.map((difference) => difference.what)).toEqual([what]);
  });

  test("a changed reading is another log", () => {
    const log = run.log.map((event) =>
      event.kind === "readings-taken" && event.unit === "°C"
        ? { ...event, values: event.values.map((v) => v + 1) }
        : event,
    );
    const report = verifyCertificate({ xml, log });
    expect(report.verdict).toBe("fails");
    expect(report.findings[0]!.words).toContain("not the one that the certificate names");
    expect(report.differences.length).toBeGreaterThan(0);
  });

  test("without the log nothing is proved, and that is said", () => {
    const report = verifyCertificate({ xml });
    expect(report.verdict).toBe("unproven");
    expect(report.findings.map(({ state }) => state)).toEqual(["holds", "unknown"]);
  });

  test("without the log a temperature that disagrees with itself in kelvin is named", () => {
    const transmitter = renderCertificate(sampleRun()).xml;
    const report = verifyCertificate({ xml: transmitter.replace("273.163 ", "273.164 ") });
    expect(report.verdict).toBe("fails");
    expect(report.differences[0]).toEqual({
      where: "TT-204, as found",
      what: "reference in kelvin",
      stated: "273.164",
      recomputed: "273.163",
    });
  });

  test.each([
    ["", "not exactly one root"],
    ["<html/>", "not a Digital Calibration Certificate"],
    ['<dcc:digitalCalibrationCertificate xmlns:dcc="https://ptb.de/dcc"/>', "not made here"],
  ])("%j is told for what it is not", (text, words) => {
    const report = verifyCertificate({ xml: text, log: run.log });
    expect(report.verdict).toBe("fails");
    expect(report.findings[0]!.words).toContain(words);
  });
});

describe("an attachment of a PDF", () => {
  const { pdf } = renderCertificate(sampleRun());
  const reasonOf = async (bytes: Uint8Array): Promise<string> => {
    const taken = await attachedFile(bytes, "certificate.xml", unpack);
    return taken.ok ? "taken" : taken.fault.message;
  };
  const changed = (from: string, to: string): Uint8Array =>
    new Uint8Array(Buffer.from(Buffer.from(pdf).toString("latin1").replaceAll(from, to), "latin1"));

  test.each<[string, () => Uint8Array, string]>([
    ["no PDF", () => utf8("hello"), "not a PDF"],
    ["no attachment", () => changed("(certificate.xml)", "(certificate.txt)"), "has no attachment"],
    [
      "an addition",
      () => new Uint8Array(Buffer.concat([pdf, Buffer.from("\nstartxref\n12\n%%EOF")])),
      "added behind its end",
    ],
    [
      "unknown packing",
      () => changed("/Type /EmbeddedFile\n  /Filter /FlateDecode", "/Type /EmbeddedFile\n  /Filter /LZWDecode  "),
      "unknown way",
    ],
  ])("%s", async (_, make, words) => expect(await reasonOf(make())).toContain(words));

  test("bytes that are broken inside", async () => {
    const broken = pdf.slice();
    const at = Buffer.from(broken).indexOf("stream", Buffer.from(broken).indexOf("/EmbeddedFile")) + 60;
    broken.fill(0, at, at + 200);
    expect(await reasonOf(broken)).toContain("cannot be unpacked");
  });
});
