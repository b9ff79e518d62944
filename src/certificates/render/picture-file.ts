import { failure, success, type Outcome } from "#fault";

/** A picture of the laboratory's own, checked. */
export interface PictureFile {
  readonly type: "png" | "svg";
  readonly bytes: Uint8Array;
}

export interface LaboratoryPictures {
  readonly logo?: PictureFile | undefined;
  /** Symbol of the accreditation; set only where every result lies within its scope. */
  readonly symbol?: PictureFile | undefined;
}

const largest = 512 * 1024;
const mostPixels = 4096;
const signature = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a] as const;

/** What an SVG must not hold: anything that runs, fetches or includes. */
const forbidden = [
  [/<!DOCTYPE|<!ENTITY/i, "a document type"],
  [/<script\b/i, "a script"],
  [/<foreignObject\b/i, "foreign content"],
  [/\son[a-z]+\s*=/i, "an event handler"],
  [/(?:href|src)\s*=\s*["'](?!#|data:image\/(?:png|jpeg);)/i, "a link to something outside"],
  [/url\(\s*["']?(?!#|["']?#)/i, "a link to something outside"],
  [/@import/i, "an imported style"],
] as const;

const refused = (why: string, whatToDo: string): Outcome<PictureFile> =>
  failure("input.invalid", `The picture cannot be used: ${why}. ${whatToDo}`);

const pngOf = (bytes: Uint8Array): Outcome<PictureFile> => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 33 || view.getUint32(12) !== 0x49484452)
    return refused("the PNG ends before its size is said", "Save it again and give the whole file.");
  const [width, height] = [view.getUint32(16), view.getUint32(20)];
  if (width === 0 || height === 0 || width > mostPixels || height > mostPixels)
    return refused(`the PNG has ${width} by ${height} dots`, `Give one with ${mostPixels} at most on either side.`);
  return success({ type: "png", bytes });
};

const svgOf = (bytes: Uint8Array, text: string): Outcome<PictureFile> => {
  const found = forbidden.find(([pattern]) => pattern.test(text));
  return found === undefined
    ? success({ type: "svg", bytes })
    : refused(`the SVG holds ${found[1]}`, "Save it as a plain drawing, everything inside it.");
};

/**
 * A picture as a certificate may carry it: PNG or SVG, told by its content and not by its name, 512 kB and 4096 dots a side at
 * most, and an SVG that holds drawing only.
 */
export const pictureFile = (bytes: Uint8Array): Outcome<PictureFile> => {
  if (bytes.length > largest)
    return refused(`it has ${Math.ceil(bytes.length / 1024)} kB`, `Give one of ${largest / 1024} kB at most.`);
  if (signature.every((byte, index) => bytes[index] === byte)) return pngOf(bytes);
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    if (/^\uFEFF?\s*(?:<\?xml[^>]*\?>\s*)?(?:<!--[\s\S]*?-->\s*)*(?:<!DOCTYPE[^>]*>\s*)?<svg[\s>]/i.test(text))
      return svgOf(bytes, text);
  } catch {
    // Not text at all: the answer below says what is wanted.
  }
  return refused("it is neither PNG nor SVG", "Give the logo as PNG or SVG.");
};
