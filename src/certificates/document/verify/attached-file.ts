import { failure, success, type Outcome } from "#fault";

/** Takes the compression off bytes (RFC 1950); rejects where they are not whole. The platform brings it. */
export type Inflate = (bytes: Uint8Array) => Promise<Uint8Array>;

const latin1 = (bytes: Uint8Array): string => {
  const parts: string[] = [];
  for (let at = 0; at < bytes.length; at += 8192) parts.push(String.fromCharCode(...bytes.subarray(at, at + 8192)));
  return parts.join("");
};

const refused = (message: string): Outcome<never> => failure("input.invalid", message);

/** Object numbers of the embedded files that a file specification of this name names, each once. */
const namedObjects = (text: string, name: string): readonly string[] => {
  const found = new Set<string>();
  for (const { index } of text.matchAll(/\/Type\s*\/Filespec\b/g)) {
    const part = text.slice(text.lastIndexOf("obj", index), text.indexOf("endobj", index));
    if (!part.includes(`(${name})`)) continue;
    for (const [, number] of part.matchAll(/\/(?:F|UF)\s+(\d+)\s+\d+\s+R/g)) found.add(number!);
  }
  return [...found];
};

/** Where an object of a number is written, the last one first: an appended change would stand behind. */
const placesOf = (text: string, number: string): readonly number[] =>
  [...text.matchAll(new RegExp(`(?:^|[\\r\\n])${number} 0 obj\\b`, "g"))].map(({ index }) => index).toReversed();

/**
 * Takes an attached file out of a PDF as certificates are written: objects in the open, the attachment a stream of its own,
 * compressed by Deflate or not at all (ISO 32000-1:2008, 7.3.8 and 7.11.4, from memory). A file that was changed by a later
 * addition is refused: an issued certificate has none.
 */
export const attachedFile = async (pdf: Uint8Array, name: string, inflate: Inflate): Promise<Outcome<Uint8Array>> => {
  const text = latin1(pdf);
  if (!text.startsWith("%PDF-")) return refused("This is not a PDF.");
  if ((text.match(/startxref\s+\d+\s+%%EOF/g) ?? []).length > 1)
    return refused("The PDF was changed after it was written: something was added behind its end.");
  const [number, ...others] = namedObjects(text, name);
  if (number === undefined) return refused(`The PDF has no attachment ${name}.`);
  const [place, ...again] = placesOf(text, number);
  if (place === undefined || others.length + again.length > 0)
    return refused(`The PDF has more than one attachment ${name}, or a damaged one.`);
  const begin = text.indexOf("stream", place);
  const head = text.slice(place, begin);
  const [, length] = /\/Length\s+(\d+)(?!\s+\d+\s+R)/.exec(head) ?? [];
  if (begin < 0 || length === undefined) return refused(`The attachment ${name} cannot be read out of the PDF.`);
  const from = begin + (text[begin + 6] === "\r" ? 8 : 7);
  const bytes = pdf.subarray(from, from + Number(length));
  if (!/^\s*endstream/.test(text.slice(from + Number(length), from + Number(length) + 16)))
    return refused(`The attachment ${name} is damaged: it does not end where it says.`);
  if (!/\/Filter/.test(head)) return success(bytes);
  if (!/\/Filter\s*\[?\s*\/FlateDecode\b/.test(head))
    return refused(`The attachment ${name} is packed in an unknown way.`);
  try {
    return success(await inflate(bytes));
  } catch {
    return refused(`The attachment ${name} is damaged: it cannot be unpacked.`);
  }
};
