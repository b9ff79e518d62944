import { readFileSync } from "node:fs";
import { NodeCompiler, type NodeError } from "@myriaddreamin/typst-ts-node-compiler";
import { Fault } from "#fault";
import type { CertificateDocument, Finding } from "../document/model.ts";
import { certificateFonts } from "./fonts.ts";
import { typstData } from "./typst-data.ts";
import { visibleText } from "./visible-text.ts";

const templates = ["certificate.typ", "pictures.typ", "tokens.typ"] as const;
const templatePath = `/${templates[0]}`;
const dataPath = "/certificate.json";
const xmlPath = "/certificate.xml";
/** PDF/A-3 level A: attachments allowed, text tagged. */
const standard = "a-3a";

let warm: NodeCompiler | null = null;

/** One compiler for the life of the process: fonts and template are read once, and its cache speeds up what repeats. */
const compiler = (): NodeCompiler => {
  if (warm !== null) return warm;
  const created = NodeCompiler.create({ workspace: "/", fontArgs: [{ fontBlobs: [...certificateFonts().blobs] }] });
  for (const name of templates) created.addSource(`/${name}`, readFileSync(new URL(name, import.meta.url), "utf8"));
  warm = created;
  return created;
};

const diagnosticText = (error: NodeError | null): string =>
  error === null ? "no reason given" : error.shortDiagnostics.map((entry: unknown) => JSON.stringify(entry)).join("; ");

const wordsOf = (thrown: unknown): string => {
  if (!(thrown instanceof Error)) return String(thrown);
  const code = "code" in thrown ? String(thrown.code) : "";
  return [thrown.message, code].filter((part) => part !== "").join(" ");
};

/** Seconds since 1970 of the start of a day in UTC; a date that is none counts as 1970. */
const timestamp = (day: string): number => {
  const milliseconds = Date.parse(`${day}T00:00:00Z`);
  return Number.isNaN(milliseconds) ? 0 : milliseconds / 1000;
};

const replacedWarning = (replaced: ReadonlySet<string>): readonly Finding[] =>
  replaced.size === 0
    ? []
    : [
        {
          clause: "7.8.1.2",
          message: `The fonts of the certificate do not have every character of its texts. On paper these are written as their Unicode codes: ${[...replaced].join(", ")}. The XML has the characters themselves.`,
        },
      ];

/** What the typesetter remarks does not stop a certificate, but nobody should sign it unseen. */
const remarkWarning = (remarks: NodeError | null): readonly Finding[] =>
  remarks === null || remarks.shortDiagnostics.length === 0
    ? []
    : [
        {
          clause: "7.8.1.2",
          message: `The typesetter made a remark, so look at the pages before you authorise: ${diagnosticText(remarks)}`,
        },
      ];

/**
 * Sets the certificate as PDF/A-3a with the XML attached. The texts reach the template as data, never as markup.
 * Same document and XML, same bytes: the time stamp is the day of issue.
 * @throws Fault `internal` where the template or a font fails, with the compiler's own words.
 */
export const renderPdf = (
  document: CertificateDocument,
  xml: string,
): { pdf: Uint8Array; warnings: readonly Finding[] } => {
  const fonts = certificateFonts();
  const visible = visibleText(fonts.covers);
  const typst = compiler();
  typst.mapShadow(dataPath, Buffer.from(typstData(document, visible.text, fonts.names)));
  typst.mapShadow(xmlPath, Buffer.from(xml));
  const compiled = typst.compile({ mainFilePath: templatePath });
  if (compiled.result === null) {
    throw new Fault("internal", `The certificate could not be set: ${diagnosticText(compiled.takeError())}`);
  }
  const remarks = remarkWarning(compiled.takeWarnings());
  try {
    const pdf = typst.pdf(compiled.result, {
      pdfStandard: standard,
      creationTimestamp: timestamp(document.dates.issued),
    });
    return { pdf: new Uint8Array(pdf), warnings: [...replacedWarning(visible.replaced), ...remarks] };
  } catch (thrown) {
    throw new Fault("internal", `The certificate could not be written as PDF: ${wordsOf(thrown)}`, { cause: thrown });
  } finally {
    typst.evictCache(2);
  }
};
