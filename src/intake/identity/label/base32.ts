/**
 * Base 32 of RFC 4648 without its padding: capital letters and the digits 2 to 7. A QR code holds these in its dense mode,
 * and every keyboard layout has them without shift or dead keys, so a scanner that types is harmless.
 */
const alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

export const toBase32 = (bytes: Uint8Array): string => {
  let text = "";
  let buffer = 0;
  let bits = 0;
  for (const byte of bytes) {
    buffer = (buffer << 8) | byte;
    bits += 8;
    while (bits >= 5) {
      bits -= 5;
      text += alphabet[(buffer >> bits) & 31]!;
    }
    buffer &= (1 << bits) - 1;
  }
  return bits === 0 ? text : text + alphabet[(buffer << (5 - bits)) & 31]!;
};

/** The bytes; null where a sign is none of the alphabet, or the length or the last bits cannot come from whole bytes. */
export const fromBase32 = (text: string): Uint8Array | null => {
  const bytes = new Uint8Array(Math.floor((text.length * 5) / 8));
  let buffer = 0;
  let bits = 0;
  let at = 0;
  for (const letter of text) {
    const value = alphabet.indexOf(letter);
    if (value < 0) return null;
    buffer = (buffer << 5) | value;
    bits += 5;
    if (bits < 8) continue;
    bits -= 8;
    bytes[at] = buffer >> bits;
    at += 1;
    buffer &= (1 << bits) - 1;
  }
  return bits < 5 && buffer === 0 ? bytes : null;
};
