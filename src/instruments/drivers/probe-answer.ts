import type { ProbeQuestion } from "./question-entry.ts";

/** What is plugged in, by the instrument's own word: nothing that says who it is, a serial number, or a data sheet's bytes. */
export type PluggedProbe =
  | { readonly kind: "none" }
  | { readonly kind: "serial"; readonly serial: string }
  | { readonly kind: "data-sheet"; readonly bytes: Uint8Array };

/** A memory of this kind holds some hundred bytes. */
const longestMemory = 4096;
const longestSerial = 80;

const fromHex = (text: string): Uint8Array | null => {
  const digits = text.replaceAll(/[\s,]/g, "");
  return digits.length > 0 && digits.length % 2 === 0 && /^[0-9a-f]+$/i.test(digits)
    ? Uint8Array.from(digits.match(/../g)!, (pair) => Number.parseInt(pair, 16))
    : null;
};

const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

const fromBase64 = (text: string): Uint8Array | null => {
  if (text.length === 0 || text.length % 4 !== 0 || !/^[A-Za-z0-9+/]+={0,2}$/.test(text)) return null;
  const letters = text.replace(/=+$/, "");
  const bytes = new Uint8Array(Math.floor((letters.length * 6) / 8));
  let buffer = 0;
  let bits = 0;
  let at = 0;
  for (const letter of letters) {
    buffer = ((buffer << 6) | alphabet.indexOf(letter)) & 0xffff;
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    bytes[at] = (buffer >> bits) & 0xff;
    at += 1;
  }
  return bytes;
};

/** The answer understood; null where it is garbled. Quotation marks around it, as SCPI puts them, do not matter. */
export const understandProbe = ({ says, none }: ProbeQuestion, line: string): PluggedProbe | null => {
  const text = line
    .trim()
    .replace(/^"(.*)"$/, "$1")
    .trim();
  if (text.toLowerCase() === none.toLowerCase()) return { kind: "none" };
  if (says === "serial")
    return text.length > 0 && text.length <= longestSerial && /^[ -~]+$/.test(text)
      ? { kind: "serial", serial: text }
      : null;
  const bytes = says === "data-sheet-hex" ? fromHex(text) : fromBase64(text);
  return bytes === null || bytes.length > longestMemory ? null : { kind: "data-sheet", bytes };
};
