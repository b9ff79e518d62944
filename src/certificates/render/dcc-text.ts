import type { XMLBuilder } from "xmlbuilder2/lib/interfaces.js";
import type { CertificateDocument } from "../document/model.ts";

/** The certificate in every language that the XML names, the binding one first. All have the same parts in the same order. */
export type Documents = readonly [CertificateDocument, ...CertificateDocument[]];

/** Writes one part of the certificate under a parent element. */
export type Writer = (parent: XMLBuilder, documents: Documents) => void;

/** A text of the certificate, taken from its document in one language. */
export type TextOf = (document: CertificateDocument) => string;

/** What XML 1.0 cannot hold (production 2, Char), and the control characters that it holds but nobody means. */
const forbidden = /(?![\t\n\r])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu;

/** Text as XML may hold it: forbidden characters become U+FFFD, space at the ends goes (the schema forbids it in short texts). */
export const xmlText = (text: string): string => text.replaceAll(forbidden, "\ufffd").trim();

/** Contents of a text in every language; once and without a language where all are the same, as names and numbers are. */
export const addContents = (parent: XMLBuilder, documents: Documents, text: TextOf): void => {
  const [first, ...others] = documents.map((document) => ({
    lang: document.language,
    words: xmlText(text(document)),
  })) as [{ lang: string; words: string }, ...{ lang: string; words: string }[]];
  if (documents.length > 1 && others.every(({ words }) => words === first.words)) {
    parent.ele("dcc:content").txt(first.words);
    return;
  }
  for (const { lang, words } of [first, ...others]) parent.ele("dcc:content", { lang }).txt(words);
};

/** An element that holds text in every language. */
export const addText = (parent: XMLBuilder, name: string, documents: Documents, text: TextOf): void =>
  addContents(parent.ele(name), documents, text);
