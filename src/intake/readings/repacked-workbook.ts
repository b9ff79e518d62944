import { crc32, inflateRawSync } from "node:zlib";
import { failure, success, type Outcome } from "#fault";

/** More parts than any workbook of readings has. */
const mostParts = 4000;
const endRecord = 0x0605_4b50;
const centralRecord = 0x0201_4b50;
const localRecord = 0x0403_4b50;
/** An end record with the longest comment behind it. */
const endWithin = 22 + 0xffff;

interface Part {
  readonly name: Buffer;
  readonly content: Buffer;
}

const unpackedAs = (method: number, packed: Buffer, most: number): Buffer | null => {
  if (method === 0) return packed.length > most ? null : packed;
  if (method !== 8) return null;
  return inflateRawSync(packed, { maxOutputLength: Math.max(1, most) });
};

/** The parts that the archive's own list names, as far as they are of use to a reader of cells. */
const partsOf = (archive: Buffer, most: number): readonly Part[] | null => {
  const from = Math.max(0, archive.length - endWithin);
  const end = archive.lastIndexOf(Buffer.from([0x50, 0x4b, 5, 6]));
  if (end < from || archive.readUInt32LE(end) !== endRecord) return null;
  const count = archive.readUInt16LE(end + 10);
  if (count > mostParts) return null;
  const parts: Part[] = [];
  let left = most;
  let at = archive.readUInt32LE(end + 16);
  for (let index = 0; index < count; index += 1) {
    if (archive.readUInt32LE(at) !== centralRecord) return null;
    const [method, packed] = [archive.readUInt16LE(at + 10), archive.readUInt32LE(at + 20)];
    const lengths = [28, 30, 32].map((place) => archive.readUInt16LE(at + place));
    const local = archive.readUInt32LE(at + 42);
    const sum = at + 16;
    const name = archive.subarray(at + 46, at + 46 + lengths[0]!);
    at += 46 + lengths[0]! + lengths[1]! + lengths[2]!;
    if (!/\.(xml|rels)$/i.test(name.toString("utf8"))) continue;
    if (archive.readUInt32LE(local) !== localRecord) return null;
    const begins = local + 30 + archive.readUInt16LE(local + 26) + archive.readUInt16LE(local + 28);
    const content = unpackedAs(method, archive.subarray(begins, begins + packed), left);
    // A part that is not what the archive says of it is damaged: nothing is read out of half of it.
    if (content === null || crc32(content) !== archive.readUInt32LE(sum)) return null;
    left -= content.length;
    parts.push({ name, content });
  }
  return parts;
};

const packedPlainly = (parts: readonly Part[]): Buffer => {
  const pieces: Buffer[] = [];
  const list: Buffer[] = [];
  let at = 0;
  for (const { name, content } of parts) {
    const header = Buffer.alloc(30);
    header.writeUInt32LE(localRecord, 0);
    header.writeUInt16LE(20, 4);
    header.writeUInt32LE(crc32(content), 14);
    header.writeUInt32LE(content.length, 18);
    header.writeUInt32LE(content.length, 22);
    header.writeUInt16LE(name.length, 26);
    const entry = Buffer.alloc(46);
    entry.writeUInt32LE(centralRecord, 0);
    entry.writeUInt16LE(20, 4);
    header.copy(entry, 6, 4, 30);
    entry.writeUInt32LE(at, 42);
    pieces.push(header, name, content);
    list.push(entry, name);
    at += header.length + name.length + content.length;
  }
  const end = Buffer.alloc(22);
  end.writeUInt32LE(endRecord, 0);
  end.writeUInt16LE(parts.length, 8);
  end.writeUInt16LE(parts.length, 10);
  end.writeUInt32LE(
    list.reduce((sum, piece) => sum + piece.length, 0),
    12,
  );
  end.writeUInt32LE(at, 16);
  return Buffer.concat([...pieces, ...list, end]);
};

/**
 * A workbook's archive with only what is needed of it, not compressed any more and never larger than `most` bytes: who reads
 * it then cannot be made to unpack what the archive does not admit to. `input.malformed` where it is larger or no archive.
 */
export const repackedWorkbook = (bytes: Uint8Array, name: string, most: number): Outcome<Buffer> => {
  try {
    const parts = partsOf(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength), most);
    if (parts !== null) return success(packedPlainly(parts));
  } catch (error) {
    if (error instanceof RangeError && "code" in error && error.code === "ERR_BUFFER_TOO_LARGE")
      return failure(
        "input.malformed",
        `${name} unpacks to more than ${Math.floor(most / 1_048_576)} MiB. Divide it, or save the sheet as CSV.`,
      );
    const known = error instanceof RangeError || (error instanceof Error && "errno" in error);
    if (!known) throw error;
  }
  return failure("input.malformed", `${name} is no whole XLSX workbook, or too large. Save it anew, or as CSV.`);
};
