/**
 * The text of a file by what its bytes are: UTF-8, UTF-16 where it begins by saying so, else the Western code page that
 * recorders of older make write (Windows-1252; "°" and "Ω" as far as it has them).
 */
export const textOf = (bytes: Uint8Array): string => {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
};
