import { brotliCompressSync, brotliDecompressSync, constants } from "node:zlib";
import { ByteReader, ByteWriter } from "./columns.ts";
import { ReadingsReader, ReadingsWriter, readingsLine } from "./readings.ts";

/**
 * Lines of text in few bytes, and back to the same text. Blocks of readings go into columns; every other line goes in as it
 * is. The whole is compressed (Brotli, RFC 7932).
 */

/** Says how a block is to be read. It is the first byte of what is compressed, and is never given another meaning. */
const form = 1;

/** Above it the compression takes many times longer for little. */
const quality = 7;

/** Lines without a line feed in them. */
const packed = (lines: readonly string[]): Buffer => {
  const kinds = new ByteWriter();
  const plain: string[] = [];
  const readings = new ReadingsWriter();
  for (const line of lines) {
    const taken = readingsLine(line);
    if (taken === null) plain.push(line);
    kinds.count(taken === null ? 0 : 1 + readings.take(taken));
  }
  const whole = new ByteWriter();
  whole.byte(form);
  whole.count(lines.length);
  whole.part(kinds);
  whole.text(plain.join("\n"));
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
  const plain = whole.text().split("\n");
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

/**
 * Packs lines into a block, and reads it back before it is given out: what does not come back to the very same text is an
 * error, and nothing may be put in the place of the lines.
 */
export const packLines = (lines: readonly string[]): Buffer => {
  const block = packed(lines);
  const back = unpackLines(block);
  if (back.length !== lines.length || back.some((line, index) => line !== lines[index]))
    throw new RangeError("The block does not give its lines back.");
  return block;
};
