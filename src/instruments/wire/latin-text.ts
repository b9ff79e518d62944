/**
 * Text to bytes and back, one byte a character (ISO 8859-1). IEEE 488.2 talks 7-bit ASCII; the other half of the byte is
 * kept, so that junk on a line is seen as it came and not as a replacement mark.
 * A character beyond U+00FF cannot be sent and becomes "?".
 */
export const encodeText = (text: string): Uint8Array => {
  const bytes = new Uint8Array(text.length);
  for (let index = 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    bytes[index] = code <= 0xff ? code : 0x3f;
  }
  return bytes;
};

export const decodeText = (bytes: Uint8Array): string => {
  let text = "";
  for (let start = 0; start < bytes.length; start += 4096) {
    text += String.fromCharCode(...bytes.subarray(start, start + 4096));
  }
  return text;
};

/** Text as it may stand in a sentence for people: control characters by their number, long text cut. */
export const showText = (text: string, longest = 80): string => {
  const shown = Array.from(text, (character) => {
    const code = character.charCodeAt(0);
    return code < 0x20 || (code >= 0x7f && code < 0xa0) ? `\\x${code.toString(16).padStart(2, "0")}` : character;
  }).join("");
  return shown.length <= longest ? shown : `${shown.slice(0, longest - 1)}…`;
};
