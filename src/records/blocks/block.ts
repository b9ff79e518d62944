import { createHash } from "node:crypto";
import { brotliCompressSync, brotliDecompressSync, constants } from "node:zlib";
import { ByteReader, ByteWriter } from "./columns.ts";
import { ReadingsReader, ReadingsWriter, readingsLine, type ReadingsLine } from "./readings.ts";

/**
 * Lines of text in few bytes, and back to the same text. Blocks of readings go into columns; every other line goes in as it
 * is. The whole is compressed (Brotli, RFC 7932).
 */

/** Says how a block is to be read. It is the first byte of what is compressed, and is never given another meaning. */
const form = 1;

/** Above it the compression takes many times longer for little. */
const quality = 7;

const hash = /[0-9a-f]{64}/g;

/** Stands where a hash stood. Canonical JSON has no such character in it. */
const placeholder = "\u0001";

/** Takes the hashes out of a text: as text they would be twice as long, and no compression makes them shorter. */
const withoutHashes = (text: string): { readonly text: string; readonly hashes: ByteWriter } => {
  const hashes = new ByteWriter();
  const rest = text.replaceAll(hash, (found) => {
    hashes.bytes(Buffer.from(found, "hex"));
    return placeholder;
  });
  return { text: rest, hashes };
};

const withHashes = (text: string, hashes: ByteReader): string =>
  text.replaceAll(placeholder, () => hashes.bytes(32).toString("hex"));

/** Lines without a line feed in them. */
const packed = (lines: readonly string[], apart: (line: string) => ReadingsLine | null): Buffer => {
  const kinds = new ByteWriter();
  const plain: string[] = [];
  const readings = new ReadingsWriter();
  for (const line of lines) {
    const taken = apart(line);
    if (taken === null) plain.push(line);
    kinds.count(taken === null ? 0 : 1 + readings.take(taken));
  }
  const whole = new ByteWriter();
  whole.byte(form);
  whole.count(lines.length);
  whole.part(kinds);
  const { text, hashes } = withoutHashes(plain.join("\n"));
  whole.text(text);
  whole.part(hashes);
  readings.write(whole);
  return brotliCompressSync(whole.written(), {
    params: {
      [constants.BROTLI_PARAM_QUALITY]: quality,
      [constants.BROTLI_PARAM_SIZE_HINT]: whole.written().length,
    },
  });
};

/** The lines of a block. What no `packLines` wrote is a `RangeError`, or other lines: whoever reads checks their hash. */
export const unpackLines = (block: Uint8Array): string[] => {
  const whole = new ByteReader(decompressed(block));
  const version = whole.byte();
  if (version !== form) throw new RangeError(`A block of form ${version} is not known here.`);
  const length = whole.count();
  const kinds = whole.part();
  const plain = withHashes(whole.text(), whole.part()).split("\n");
  const readings = new ReadingsReader(whole);
  let next = 0;
  const lines = Array.from({ length }, () => {
    const kind = kinds.count();
    if (kind > 0) return readings.line(kind - 1);
    const line = plain[next];
    if (line === undefined) throw new RangeError("The block lacks a line.");
    next += 1;
    return line;
  });
  return lines;
};

const decompressed = (block: Uint8Array): Buffer => {
  try {
    return brotliDecompressSync(block, { maxOutputLength: 1 << 28 });
  } catch (thrown) {
    throw new RangeError("The block cannot be decompressed.", { cause: thrown });
  }
};

const unpackedOr = (block: Uint8Array, otherwise: readonly string[]): readonly string[] => {
  try {
    return unpackLines(block);
  } catch (thrown) {
    if (!isUnreadable(thrown)) throw thrown;
    return otherwise;
  }
};

/** What reading a block may end in that was not written as one. */
const isUnreadable = (thrown: unknown): boolean =>
  thrown instanceof RangeError || thrown instanceof SyntaxError || thrown instanceof TypeError;

/** Whether a block gives the very same lines back. */
const givesBack = (block: Buffer, lines: readonly string[]): boolean => {
  const back = unpackedOr(block, []);
  return back.length === lines.length && back.every((line, index) => line === lines[index]);
};

/**
 * Packs lines into a block, and reads it back before it is given out. What would not come back to the very same text is a
 * `RangeError`, and nothing may be put in the place of the lines.
 */
export const packLines = (lines: readonly string[]): Buffer => {
  const block = packed(lines, readingsLine);
  if (givesBack(block, lines)) return block;
  const plain = packed(lines, () => null);
  if (givesBack(plain, lines)) return plain;
  throw new RangeError("The block does not give its lines back.");
};

/** A block with the SHA-256 of its bytes, in hexadecimal: bytes of it may say nothing, and are watched too. */
export const sealed = (lines: readonly string[]): { readonly bytes: Buffer; readonly sum: string } => {
  const bytes = packLines(lines);
  return { bytes, sum: sumOf(bytes) };
};

const sumOf = (bytes: Uint8Array): string => createHash("sha256").update(bytes).digest("hex");

/** The lines of a stored block, or a few words that say why they do not hold. */
export const opened = ({
  first,
  last,
  bytes,
  sum,
}: {
  first: number;
  last: number;
  bytes: Uint8Array;
  sum: string;
}): string[] | string => {
  if (sumOf(bytes) !== sum) return "its bytes were changed.";
  try {
    const lines = unpackLines(bytes);
    return lines.length === last - first + 1 ? lines : `it holds ${lines.length} of them.`;
  } catch (thrown) {
    if (!isUnreadable(thrown)) throw thrown;
    return "it cannot be read any more.";
  }
};
