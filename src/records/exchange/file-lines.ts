import { TextDecoder } from "node:util";

const lineFeed = 0x0a;

/**
 * The lines of a file, page by page. A byte that is not UTF-8, or a last line without its line feed, ends it with a few words
 * that say so: a file of ours has neither.
 */
export async function* fileLines(
  pieces: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
): AsyncGenerator<readonly string[] | string> {
  const decoder = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
  let rest: Buffer = Buffer.alloc(0);
  for await (const piece of pieces) {
    const bytes = Buffer.concat([rest, piece]);
    const end = bytes.lastIndexOf(lineFeed);
    if (end < 0) {
      rest = bytes;
      continue;
    }
    rest = Buffer.from(bytes.subarray(end + 1));
    try {
      yield decoder.decode(bytes.subarray(0, end)).split("\n");
    } catch {
      yield "holds bytes that are no text (UTF-8)";
      return;
    }
  }
  if (rest.length > 0) yield "ends in the middle of a line";
}
