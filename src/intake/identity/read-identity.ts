import { failure, success, type Outcome } from "#fault";
import type { Brought } from "./brought.ts";
import { readCertificate } from "./dcc/read-certificate.ts";
import { fromLabel } from "./label/from-label.ts";
import { isLabelCode, readLabelCode } from "./label/label-code.ts";
import { fromTeds } from "./teds/from-teds.ts";
import { largestTeds, readTeds, type TedsOptions } from "./teds/read-teds.ts";

const asText = (bytes: Uint8Array): string =>
  new TextDecoder("latin1").decode(bytes).replace(/^\u00ef\u00bb\u00bf/, "");

const looksLikeXml = (bytes: Uint8Array): boolean => {
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) return true;
  return /^\s*</.test(asText(bytes.subarray(0, 4096)));
};

/** Bytes written as hexadecimal digits, with spaces, colons or 0x as people write them; null where the text is none. */
export const bytesFromHex = (text: string): Uint8Array | null => {
  const digits = text.replaceAll(/0x|[\s:,;_-]/gi, "");
  return digits.length >= 16 && digits.length % 2 === 0 && /^[0-9a-f]+$/i.test(digits)
    ? Uint8Array.from(digits.match(/../g)!, (pair) => Number.parseInt(pair, 16))
    : null;
};

/** Bytes in base 64; null where the text is none or too short to be told from a word. */
export const bytesFromBase64 = (text: string): Uint8Array | null => {
  const letters = text.replaceAll(/\s/g, "");
  return letters.length >= 12 && letters.length % 4 === 0 && /^[A-Za-z0-9+/]+={0,2}$/.test(letters)
    ? new Uint8Array(Buffer.from(letters, "base64"))
    : null;
};

const isText = (bytes: Uint8Array): boolean =>
  bytes.every((byte) => byte === 9 || byte === 10 || byte === 13 || (byte >= 32 && byte < 127));

const dataSheet = (image: Uint8Array, options: TedsOptions): Outcome<readonly Brought[]> => {
  const teds = readTeds(image, options);
  return teds.ok ? success([fromTeds(teds.value)]) : teds;
};

/**
 * What a probe brought, told apart by its content and never by its name: an XML text is a calibration certificate, a text that
 * begins with DWP and a digit a label of ours, other text hexadecimal or base 64 of a data sheet, and any other bytes a data
 * sheet itself. A certificate gives an answer for each of its items.
 */
export const readIdentity = (bytes: Uint8Array, options: TedsOptions = {}): Outcome<readonly Brought[]> => {
  if (bytes.length === 0) return failure("identity.unreadable", "The file is empty.");
  if (looksLikeXml(bytes)) return readCertificate(bytes);
  if (bytes.length <= 4 * largestTeds && isText(bytes)) {
    const text = asText(bytes);
    if (isLabelCode(text)) {
      const entry = readLabelCode(text);
      return entry.ok ? success([fromLabel(entry.value)]) : entry;
    }
    const written = bytesFromHex(text) ?? bytesFromBase64(text);
    return written === null
      ? failure(
          "identity.unreadable",
          "This is neither a calibration certificate in XML, nor the code of a label, nor a probe's data sheet in hexadecimal or base 64.",
        )
      : dataSheet(written, options);
  }
  return dataSheet(bytes, options);
};
