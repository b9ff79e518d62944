import { beforeAll, describe, expect, test } from "vitest";
import { languages, type Language } from "../document/issue-data.ts";
import { writingIn } from "../document/writing.ts";
import { readPdf, type ReadPdf } from "../fixtures/read-pdf.test-support.ts";
import { amendedRun, sampleCertificates } from "../fixtures/sample-certificates.test-support.ts";
import { renderCertificate } from "./render-certificate.ts";

const others = languages.filter((language) => language !== "en");

/** Every word of a table that stands in it as it is; functions are called with marks in place of what they are given. */
const wordsOf = (table: unknown, path = ""): ReadonlyMap<string, string> => {
  if (typeof table === "string") return new Map([[path, table]]);
  if (typeof table === "function") {
    const given = Array.from({ length: table.length }, (_, index) => `<${index}>`);
    const parts = Object.fromEntries(given.map((mark, index) => [index, mark]));
    try {
      return new Map([[path, String(table(...given, parts))]]);
    } catch {
      return new Map();
    }
  }
  return new Map(Object.entries(table as object).flatMap(([name, inner]) => [...wordsOf(inner, `${path}.${name}`)]));
};

/** What is the same in two languages because the trade, a standard or grammar has it so. */
const alike =
  /^\.(paper\.(labels\.(page|signature)|record\.(software|utc)|facts\.methodOf|amendment\.results|languages\..*)|statements\.headings\.reproduction|item\.(facts\.sensor|span|classes\..*|tolerance\.deadBand|junction\..*)|results\.(columns\.(nominal|indication|error)|evidence\.point|inEnglish)|fit\.(signal|columns\.coefficient)|switch\.(action|ramp|between|evidence\.contact)|conditions\.(points|remarks|replacedRole)|data\.(coverage|inUnit|certificateOf))/;

describe("the words of every language", () => {
  const english = wordsOf(writingIn("en").words);

  test.each(others)("%s has every word, none empty and none left in English", (language) => {
    const words = wordsOf(writingIn(language).words);
    expect([...words.keys()].sort()).toEqual([...english.keys()].sort());
    expect([...words].filter(([, text]) => text.trim() === "")).toEqual([]);
    const same = [...words].filter(
      ([path, text]) => english.get(path) === text && /[a-z]{4}/.test(text) && !alike.test(path),
    );
    expect(same.map(([path]) => path)).toEqual([]);
  });

  test.each(others)("%s keeps everything that a sentence is given", (language) => {
    const words = wordsOf(writingIn(language).words);
    const marks = (text: string): string[] => [...new Set(text.match(/<\d>/g) ?? [])].sort();
    // These choose a word by what they are given, and do not set it.
    const choosing = /^\.(item\.sensor\.switch|switch\.(change|ramp)|statements\.deviations\.kitChange)$/;
    const lost = [...english].filter(
      ([path, text]) => !choosing.test(path) && marks(text).join() !== marks(words.get(path) ?? "").join(),
    );
    expect(lost.map(([path]) => path)).toEqual([]);
  });
});

describe("days and numbers as each language writes them", () => {
  test.each<[Language, string, string]>([
    ["en", "2026-04-02", "−0.45\u202fK"],
    ["de", "2. April 2026", "−0,45\u202fK"],
    ["es", "2 de abril de 2026", "−0,45\u202fK"],
    ["fr", "2 avril 2026", "−0,45\u202fK"],
  ])("%s", (language, day, number) => {
    const { words, set } = writingIn(language);
    expect(words.paper.day("2026-04-02")).toBe(day);
    expect(set.unit("-0.45", "K")).toBe(number);
    expect(set.cell("-0.45")).toEqual({ text: number.slice(0, -2), plain: "-0.45" });
  });

  test("the first of a month in French, and text that is no day", () => {
    const { day } = writingIn("fr").words.paper;
    expect(day("2026-12-01")).toBe("1er décembre 2026");
    expect(day("some day")).toBe("some day");
    expect(day("2026-13-01")).toBe("2026-13-01");
  });
});

describe.each(languages)("a certificate in %s", (language) => {
  let pdf: ReadPdf;
  let xml: string;
  beforeAll(async () => {
    const rendered = renderCertificate(sampleCertificates[`transmitter ${language}`]!());
    pdf = await readPdf(rendered.pdf);
    xml = rendered.xml;
  });

  test("reads as it was read when it was last looked at", async () => {
    await expect(`${pdf.pages.join("\n\n")}\n`).toMatchFileSnapshot(`../fixtures/golden/transmitter-${language}.txt`);
  });

  test("numbers its pages and ends in its own words", () => {
    const { labels } = writingIn(language).words.paper;
    for (const [index, page] of pdf.pages.entries())
      expect(page).toContain(`${labels.page} ${index + 1} ${labels.of} ${pdf.pages.length}`);
    expect(pdf.pages.at(-1)).toContain(`${labels.end} CVC-2026-00412`);
  });

  test("has no decimal point in a comma language, and the data have no comma in any", () => {
    const numbers = pdf.text.match(/[±−]\d+[.,]\d+/g) ?? [];
    expect(numbers.length).toBeGreaterThan(20);
    expect(numbers.filter((number) => number.includes(language === "en" ? "," : "."))).toEqual([]);
    expect([...xml.matchAll(/XMLList>([^<]*)</g)].filter(([, list]) => list!.includes(","))).toEqual([]);
  });

  test("gives a switch's results, a fitted equation and long names in its own words, set without a remark", async () => {
    for (const kind of ["switch", "fitted", "long names"]) {
      const { check, pdf: bytes } = renderCertificate(sampleCertificates[`${kind} ${language}`]!());
      expect(check.warnings.filter(({ clause }) => clause === "7.8.1.2")).toEqual([]);
      const { text } = await readPdf(bytes);
      expect(text).toContain(writingIn(language).words.paper.title);
      expect(text).not.toContain("undefined");
    }
  });
});

describe("a certificate in several languages", () => {
  test("has each as a part of its own, the first binding, under one number and one count of pages", async () => {
    const { pdf } = renderCertificate(sampleCertificates["four languages"]!());
    const { pages, text } = await readPdf(pdf);
    expect(
      pages.map((page) => /(?:Page|Página|Seite) (\d+) (?:sur|of|de|von) (\d+)/.exec(page)!.slice(1).map(Number)),
    ).toEqual(pages.map((_, index) => [index + 1, pages.length]));
    expect(
      text.match(/(?:Fin du certificat|End of certificate|Fin del certificado|Ende des Kalibrierscheins) CVC/g),
    ).toHaveLength(1);
    expect(text).not.toContain("Ceci est le texte français");
    expect(text).toContain("Where the languages differ, the French text holds");
    expect(text).toContain("gilt der französische Wortlaut");
    expect(text).toContain("vale el texto francés");
  });
});

describe("an amended certificate", () => {
  test("names what it replaces and why, lists and marks each change, and says that no figure is changed", async () => {
    const { pdf, document, check } = renderCertificate(amendedRun());
    expect(check.stops).toEqual([]);
    expect(document.amendment?.changes).toEqual([
      {
        what: "Für",
        before: "Marrow & Finch Preserves, Orchard Works, Quay Road 12, Finchham, Maintenance office",
        after: "Marrow & Finch Preserves Ltd, Orchard Works, Quay Road 12, Finchham, Maintenance office",
      },
      { what: "Kalibriergegenstand TT-204: Seriennummer", before: "HX-88213", after: "HX-88231" },
      { what: "Bemerkungen", before: "Demo data: every name and figure is invented.", after: "nicht angegeben" },
      { what: "Freigegeben von", before: "Rosalind Achterberg", after: "Odile Brandt" },
      { what: "Sprachen", before: "Deutsch", after: "Deutsch, English" },
    ]);
    const { text } = await readPdf(pdf);
    expect(text).toContain("ist eine Änderung zum Kalibrierschein CVC-2026-00412 vom 2. April 2026 und ersetzt ihn.");
    expect(text).toContain("Seriennummer (geändert) HX-88231");
    expect(text).toContain("Kein Zahlenwert der Ergebnisse ist geändert.");
    expect(text).toContain("Serial number (changed) HX-88231");
  });

  test("lists figures that another evaluation gives, and then does not say that none is changed", () => {
    const run = amendedRun();
    const { amends } = run.issued;
    const figures = [{ what: "TT-204, as left, 50 °C: U of error", before: "0.097", after: "0.098" }];
    const { document } = renderCertificate({ ...run, issued: { ...run.issued, amends: { ...amends!, figures } } });
    expect(document.amendment?.note).toBeNull();
    expect(document.amendment?.changes.at(-1)).toEqual({
      what: "TT-204, as left, 50 °C: U of error",
      before: "0,097",
      after: "0,098",
    });
  });

  test("a withdrawn one says so at the head of every page, in its own language", async () => {
    const { pages } = await readPdf(renderCertificate(sampleCertificates["withdrawn"]!()).pdf);
    for (const page of pages) expect(page).toContain("Retirado el 1 de mayo de 2026: The wrong item was measured");
  });
});
