import { describe, expect, test } from "vitest";
import * as fc from "fast-check";
import { bytesOf, certificate } from "../fixtures/certificate.test-support.ts";
import { largestXml, readXml } from "./safe-xml.ts";

const entities = (levels: number): string =>
  Array.from({ length: levels }, (_, level) =>
    level === 0 ? '<!ENTITY l0 "lollollol">' : `<!ENTITY l${level} "${`&l${level - 1};`.repeat(10)}">`,
  ).join("");

/** How long something took, ms, and by how much it left memory larger, bytes; the XML parser's own memory counts as well. */
const measured = <T>(act: () => T): { outcome: T; took: number; grown: number } => {
  const before = process.memoryUsage().rss;
  const start = performance.now();
  const outcome = act();
  return { outcome, took: performance.now() - start, grown: process.memoryUsage().rss - before };
};

describe("XML from a stranger", () => {
  const billion = `<?xml version="1.0"?><!DOCTYPE x [${entities(10)}]><x>&l9;</x>`;
  const doctype = certificate({ before: '<!DOCTYPE dcc [<!ENTITY secret SYSTEM "file:///etc/hostname">]>\n' });

  test.each([
    ["a billion laughs", billion, "document type"],
    ["an external entity", doctype.replace("NT-26-1180", "&secret;"), "document type"],
    [
      "an external document type",
      certificate({ before: '<!-- first --> <?style x?><!DOCTYPE x SYSTEM "http://192.0.2.1/x.dtd">' }),
      "document type",
    ],
    ["a parameter entity", '<!DOCTYPE x [<!ENTITY % p SYSTEM "http://192.0.2.1/p"> %p;]><x/>', "document type"],
    ["elements 1,000 deep", "<x>".repeat(1000) + "</x>".repeat(1000), "deep"],
    ["elements 100 deep", "<x>".repeat(100) + "</x>".repeat(100), "deep"],
    ["a million elements", `<x>${"<y/>".repeat(1_000_000)}</x>`, "more than 100000 elements"],
  ])("%s is refused at once", (_, text, words) => {
    const bytes = bytesOf(text);
    const { outcome, took } = measured(() => readXml(bytes));
    expect(outcome).toMatchObject({
      ok: false,
      fault: { code: "identity.refused", message: expect.stringContaining(words) },
    });
    expect(took).toBeLessThan(1000);
  });

  test("a hundred megabytes are refused at once, and memory stays flat", () => {
    const bytes = new Uint8Array(100 * 1_048_576).fill(0x20);
    bytes.set(bytesOf(certificate()));
    const { outcome, took, grown } = measured(() => readXml(bytes));
    expect(outcome).toMatchObject({
      ok: false,
      fault: { code: "identity.refused", message: expect.stringContaining("100 MiB") },
    });
    expect(took).toBeLessThan(100);
    expect(grown).toBeLessThan(20 * 1_048_576);
  });

  test("the largest that is read is read in bounded memory", () => {
    const filler = `<!-- ${"x".repeat(1_000_000)} -->`;
    const text = certificate().replace("<dcc:measurementResults>", `${filler.repeat(15)}<dcc:measurementResults>`);
    const bytes = bytesOf(text);
    expect(bytes.length).toBeLessThan(largestXml);
    const { outcome, grown } = measured(() => readXml(bytes));
    expect(outcome.ok).toBe(true);
    expect(grown).toBeLessThan(300 * 1_048_576);
  });

  test("an entity that nobody declared is an error, not a hole", () => {
    expect(readXml(bytesOf("<x>&secret;</x>"))).toMatchObject({ ok: false, fault: { code: "identity.unreadable" } });
  });

  test.each([
    ["utf-8 with a mark", Uint8Array.from([0xef, 0xbb, 0xbf, ...bytesOf("<x>é°</x>")]), "é°"],
    [
      "utf-16, low byte first",
      Uint8Array.from([
        0xff,
        0xfe,
        ...new Uint8Array(new Uint16Array([..."<x>é°</x>"].map((letter) => letter.charCodeAt(0))).buffer),
      ]),
      "é°",
    ],
    [
      "latin 1 that says so",
      Uint8Array.from(
        [...'<?xml version="1.0" encoding="ISO-8859-1"?><x>é°</x>'].map((letter) => letter.charCodeAt(0)),
      ),
      "é°",
    ],
  ])("%s is read", (_, bytes, text) => {
    expect(readXml(bytes)).toMatchObject({ ok: true, value: { name: "x", text } });
  });

  test("other encodings, and bytes that are none, are named", () => {
    expect(readXml(bytesOf('<?xml version="1.0" encoding="utf-7"?><x/>'))).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining("utf-7") },
    });
    expect(readXml(Uint8Array.from([...bytesOf("<x>"), 0xe9, ...bytesOf("</x>")]))).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining("utf-8") },
    });
  });

  test("anything else gives a value or a failure, never an exception (seed 20261125)", () => {
    const cut = fc.nat(certificate().length).map((length) => bytesOf(certificate().slice(0, length)));
    const flipped = fc.tuple(fc.nat(), fc.nat(255)).map(([place, byte]) => {
      const bytes = bytesOf(certificate());
      bytes[place % bytes.length] = byte;
      return bytes;
    });
    fc.assert(
      fc.property(fc.oneof(cut, flipped, fc.uint8Array({ maxLength: 200 })), (bytes) => {
        expect(typeof readXml(bytes).ok).toBe("boolean");
      }),
      { seed: 20_261_125, numRuns: 300 },
    );
  });
});
