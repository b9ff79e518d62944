import { failure, success, type Outcome } from "#fault";

/** A page of the probe's memory: one byte of check sum, then 31 bytes of the stream (from memory; IEEE 1451.4-2004). */
export const pageLength = 32;

const sumOf = (bytes: Uint8Array): number => bytes.reduce((sum, byte) => (sum + byte) % 256, 0);

/** Memory that was never written. */
const isBlank = (page: Uint8Array): boolean => page.every((byte) => byte === 0xff) || page.every((byte) => byte === 0);

const damaged = (message: string): Outcome<never> => failure("identity.damaged", message);

/**
 * The stream out of a memory of whole pages: each page's bytes add up to a multiple of 256, blank pages at the end are left
 * out. Failure `identity.damaged` names the first page that does not hold.
 */
export const unpaged = (image: Uint8Array): Outcome<Uint8Array> => {
  if (image.length === 0 || image.length % pageLength !== 0)
    return damaged(
      `The image has ${image.length} bytes; a memory with check sums has whole pages of ${pageLength} bytes.`,
    );
  const pages = Array.from({ length: image.length / pageLength }, (_, page) =>
    image.subarray(page * pageLength, (page + 1) * pageLength),
  );
  while (pages.length > 0 && isBlank(pages.at(-1)!)) pages.pop();
  if (pages.length === 0) return damaged("The memory is blank: nothing was ever written to it.");
  const wrong = pages.findIndex((page) => sumOf(page) !== 0);
  if (wrong >= 0)
    return damaged(
      `The check sum of page ${wrong + 1} of ${pages.length} does not hold: the image is damaged or was read wrongly. Read the probe again. An image without check sums is read when that is said.`,
    );
  const stream = new Uint8Array(pages.length * (pageLength - 1));
  for (const [page, bytes] of pages.entries()) stream.set(bytes.subarray(1), page * (pageLength - 1));
  return success(stream);
};

/** A stream as pages with check sums; what is left of the last page is zero. */
export const paged = (stream: Uint8Array): Uint8Array => {
  const room = pageLength - 1;
  const count = Math.max(Math.ceil(stream.length / room), 1);
  const image = new Uint8Array(count * pageLength);
  for (let page = 0; page < count; page += 1) {
    image.set(stream.subarray(page * room, (page + 1) * room), page * pageLength + 1);
    image[page * pageLength] = (256 - sumOf(image.subarray(page * pageLength, (page + 1) * pageLength))) % 256;
  }
  return image;
};
