import bwip from "bwip-js";
import type { Fact } from "../document/model.ts";
import type { Language } from "../document/issue-data.ts";
import { certificateFonts } from "./fonts.ts";
import { typeset } from "./typesetter.ts";
import { visibleText } from "./visible-text.ts";

/** What a label says; whoever makes it gives every word. */
export interface LabelContent {
  readonly heading: string;
  /** Up to seven short lines; more, or very long ones, run off the label. */
  readonly lines: readonly Fact[];
  /** What the QR code holds; above 400 characters the label is the large one, so that it can be read from a print. */
  readonly code: string;
  /** A line that must not be overlooked. */
  readonly note?: string | undefined;
  readonly language?: Language | undefined;
  /** Day that stands in the file as the time of its making, year-month-day; 1970-01-01 where nothing is said. */
  readonly day?: string | undefined;
}

/** Longest code: in the dense mode a square of 97 modules, 0.4 mm each on the large label. */
const longestCode = 1000;
/** Longest code for the small label, where a module must still have about 0.3 mm. */
const longestSmall = 400;

/**
 * Sets a label as PDF: one page of 62 mm by 29 mm, or of 62 mm by 62 mm for a long code, with a QR code (ISO/IEC 18004,
 * error correction M) and a few lines. Same content, same bytes.
 * @throws RangeError where the code holds more than 1000 characters
 */
export const renderLabel = (content: LabelContent): Uint8Array => {
  const { heading, lines, code, note, language = "en", day = "1970-01-01" } = content;
  if (code.length > longestCode)
    throw new RangeError(`A code of ${code.length} characters cannot be read from a label.`);
  const fonts = certificateFonts();
  const { text } = visibleText(fonts.covers);
  const data = {
    fonts: fonts.names,
    language,
    large: code.length > longestSmall,
    heading: text(heading),
    lines: lines.map((line) => ({ label: text(line.label), text: text(line.text) })),
    note: note === undefined ? null : text(note),
    codeAlt: text(code),
  };
  const svg = bwip.toSVG({ bcid: "qrcode", text: code, paddingwidth: 2, paddingheight: 2 });
  return typeset({
    template: "label.typ",
    files: [
      { path: "/label.json", bytes: JSON.stringify(data) },
      { path: "/code.svg", bytes: svg },
    ],
    day,
  }).pdf;
};
