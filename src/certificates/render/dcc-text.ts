import type { XMLBuilder } from "xmlbuilder2/lib/interfaces.js";
import type { CertificateDocument } from "../document/model.ts";

/** Writes one part of the certificate under a parent element. */
export type Writer = (parent: XMLBuilder, document: CertificateDocument) => void;

/** What XML 1.0 cannot hold (production 2, Char), and the control characters that it holds but nobody means. */
const forbidden = /(?![\t\n\r])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu;

/** Text as XML may hold it: forbidden characters become U+FFFD, space at the ends goes (the schema forbids it in short texts). */
export const xmlText = (text: string): string => text.replaceAll(forbidden, "\ufffd").trim();

/** An element that holds text in one language. */
export const addText = (parent: XMLBuilder, name: string, text: string, language = "en"): void => {
  parent.ele(name).ele("dcc:content", { lang: language }).txt(xmlText(text));
};
