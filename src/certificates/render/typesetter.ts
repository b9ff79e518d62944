import { readFileSync } from "node:fs";
import { NodeCompiler, type NodeError } from "@myriaddreamin/typst-ts-node-compiler";
import { Fault } from "#fault";
import type { Finding } from "../document/model.ts";
import { certificateFonts } from "./fonts.ts";

const templates = ["certificate.typ", "pictures.typ", "tokens.typ", "label.typ"] as const;

/** A file that a template reads, by its path in the compiler. */
export interface TypesetFile {
  readonly path: string;
  readonly bytes: Uint8Array | string;
}

export interface TypesetOptions {
  readonly template: (typeof templates)[number];
  readonly files: readonly TypesetFile[];
  /** Day that stands in the file as the time of its making, year-month-day. */
  readonly day: string;
  /** PDF/A-3 level A where nothing is said: attachments allowed, text tagged. */
  readonly standard?: "a-3a" | "ua-1";
}

let warm: NodeCompiler | null = null;

/** One compiler for the life of the process: fonts and templates are read once, and its cache speeds up what repeats. */
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
 * Sets a template with its files as PDF. The texts reach the template as data, never as markup. Same files and day, same bytes.
 * @throws Fault `internal` where the template, a picture or a font fails, with the compiler's own words.
 */
export const typeset = ({
  template,
  files,
  day,
  standard = "a-3a",
}: TypesetOptions): { pdf: Uint8Array; warnings: readonly Finding[] } => {
  const typst = compiler();
  for (const { path, bytes } of files) typst.mapShadow(path, Buffer.from(bytes));
  try {
    const compiled = typst.compile({ mainFilePath: `/${template}` });
    if (compiled.result === null)
      throw new Fault("internal", `The certificate could not be set: ${diagnosticText(compiled.takeError())}`);
    const warnings = remarkWarning(compiled.takeWarnings());
    const pdf = typst.pdf(compiled.result, { pdfStandard: standard, creationTimestamp: timestamp(day) });
    return { pdf: new Uint8Array(pdf), warnings };
  } catch (thrown) {
    if (thrown instanceof Fault) throw thrown;
    throw new Fault("internal", `The certificate could not be written as PDF: ${wordsOf(thrown)}`, { cause: thrown });
  } finally {
    typst.evictCache(2);
    for (const { path } of files) typst.unmapShadow(path);
  }
};
