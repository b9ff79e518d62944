import { failure, success, type Outcome } from "#fault";
import { BitReader } from "./bits.ts";
import { readField, type FieldValue } from "./field-types.ts";
import { pageLength, unpaged } from "./pages.ts";
import type { BasicTeds, Teds, TedsSection } from "./teds.ts";
import { knownTemplates, templateNames, type Template, type TemplateField } from "./templates.ts";

/** Largest image that is read: memories of this kind hold some hundred bytes. */
export const largestTeds = 4096;
const basicBytes = 8;
const mostSections = 16;

/** What follows a section (from memory; IEEE 1451.4-2004). */
export const selectors = { standard: 0, own: 1, reserved: 2, end: 3 } as const;

export interface TedsOptions {
  /** Whether the image is a memory of pages with check sums; judged by its length where nothing is said. */
  readonly checkSums?: boolean;
}

type Values = Record<string, FieldValue>;

const isAsked = ({ where }: TemplateField, values: Values): boolean =>
  where === undefined || values[where.field] === where.is;

/** Reads fields into `values`; false where the stream ends before. */
const readFields = (reader: BitReader, fields: readonly TemplateField[], values: Values): boolean => {
  for (const field of fields) {
    if (!isAsked(field, values)) continue;
    const value = readField(reader, field.type);
    if (value === undefined) return false;
    values[field.name] = value;
  }
  return true;
};

const readSection = (reader: BitReader, template: Template): TedsSection | null => {
  const values: Values = {};
  if (!readFields(reader, template.fields, values)) return null;
  if (template.repeated === undefined) return { template: template.id, values };
  const rows: Values[] = [];
  for (let row = 0; row < Number(values[template.repeated.count]); row += 1) {
    const cells: Values = {};
    if (!readFields(reader, template.repeated.fields, cells)) return null;
    rows.push(cells);
  }
  return { template: template.id, values, rows };
};

/** Seven bits a character, to a zero or the end. */
const readText = (reader: BitReader): string => {
  let text = "";
  while (reader.left >= 7) {
    const code = reader.unsigned(7);
    if (code === null || code === 0) break;
    text += code < 32 || code === 127 ? " " : String.fromCharCode(code);
  }
  return text.trim();
};

const readBasic = (reader: BitReader): BasicTeds => {
  const [manufacturer, model, letter, version, serial] = [14, 15, 5, 6, 24].map((bits) => reader.unsigned(bits)!) as [
    number,
    number,
    number,
    number,
    number,
  ];
  return {
    manufacturer,
    model,
    versionLetter: letter >= 1 && letter <= 26 ? String.fromCharCode(64 + letter) : "",
    version,
    serial,
  };
};

interface Followed {
  readonly sections: readonly TedsSection[];
  readonly text: string;
  readonly stopped: string | null;
}

const readSections = (reader: BitReader): Followed => {
  const sections: TedsSection[] = [];
  const stop = (stopped: string | null, text = ""): Followed => ({ sections, text, stopped });
  while (sections.length < mostSections) {
    const selector = reader.unsigned(2);
    if (selector === null) return stop(sections.length === 0 ? null : "the image ends without its end mark");
    if (selector === selectors.end) {
      const own = reader.unsigned(1);
      if (own === 1) return stop("data of the owner's own form follow; they are not read");
      return stop(null, readText(reader));
    }
    if (selector === selectors.own) return stop("a template of the maker's own follows; it is not known here");
    if (selector === selectors.reserved) return stop("a reserved selector follows; what comes after it is not read");
    const id = reader.unsigned(8);
    if (id === null) return stop("the image ends where a template should begin");
    const template = knownTemplates.get(id);
    if (template === undefined) {
      const name = templateNames[id];
      return stop(`template ${id}${name === undefined ? "" : ` (${name})`} is not read by this version`);
    }
    const section = readSection(reader, template);
    if (section === null) return stop(`the image ends inside template ${id} (${template.name})`);
    sections.push(section);
  }
  return stop(`more than ${mostSections} templates follow one another`);
};

const streamOf = (image: Uint8Array, { checkSums }: TedsOptions): Outcome<Uint8Array> =>
  (checkSums ?? image.length % pageLength === 0) ? unpaged(image) : success(image);

/**
 * Reads a TEDS image (IEEE 1451.4-2004): the identity, and the templates for thermocouples, resistance temperature detectors
 * and calibration tables. Where another template or the maker's own follows, the identity is still read and `stopped` says
 * why the rest is not. An image of whole pages of 32 bytes is taken for a memory with check sums, any other for the bare
 * stream, unless `checkSums` says which.
 *
 * Failures: `identity.unreadable` (too short, too long, no maker's number), `identity.damaged` (a check sum does not hold).
 */
export const readTeds = (image: Uint8Array, options: TedsOptions = {}): Outcome<Teds> => {
  if (image.length > largestTeds)
    return failure(
      "identity.unreadable",
      `The image has ${image.length} bytes; a TEDS has at most ${largestTeds}. Is it the right file?`,
    );
  const stream = streamOf(image, options);
  if (!stream.ok) return stream;
  if (stream.value.length < basicBytes)
    return failure(
      "identity.unreadable",
      `The image has ${stream.value.length} bytes; the identity alone takes ${basicBytes}. It is cut short.`,
    );
  const reader = new BitReader(stream.value);
  const basic = readBasic(reader);
  if (basic.manufacturer < 17 || basic.manufacturer > 16_381)
    return failure(
      "identity.unreadable",
      `The image begins with maker's number ${basic.manufacturer}; makers have numbers from 17 to 16381. It is blank, of a draft of the standard, or no TEDS at all.`,
    );
  return success({ basic, ...readSections(reader) });
};
