/**
 * Which code points a TrueType font has glyphs for, read from its `cmap` table (formats 4 and 12 of the OpenType
 * specification). Needed because PDF/A forbids text without glyphs, and a name on a certificate may be written in any script.
 */
export type Coverage = (codePoint: number) => boolean;

interface Range {
  readonly first: number;
  readonly last: number;
}

const tableOffset = (font: DataView, name: string): number => {
  const count = font.getUint16(4);
  for (let index = 0; index < count; index += 1) {
    const record = 12 + index * 16;
    const tag = String.fromCharCode(...[0, 1, 2, 3].map((byte) => font.getUint8(record + byte)));
    if (tag === name) return font.getUint32(record + 8);
  }
  throw new RangeError(`The font has no table ${name}.`);
};

const segmentRanges = (font: DataView, table: number): readonly Range[] => {
  const segments = font.getUint16(table + 6) / 2;
  const ends = table + 14;
  const starts = ends + segments * 2 + 2;
  const deltas = starts + segments * 2;
  const offsets = deltas + segments * 2;
  const ranges: Range[] = [];
  for (let segment = 0; segment < segments; segment += 1) {
    const first = font.getUint16(starts + segment * 2);
    const last = font.getUint16(ends + segment * 2);
    const offset = font.getUint16(offsets + segment * 2);
    if (first === 0xffff) continue;
    if (offset === 0) {
      ranges.push({ first, last });
      continue;
    }
    for (let code = first; code <= last; code += 1) {
      const glyph = font.getUint16(offsets + segment * 2 + offset + (code - first) * 2);
      if (glyph !== 0) ranges.push({ first: code, last: code });
    }
  }
  return ranges;
};

const groupRanges = (font: DataView, table: number): readonly Range[] => {
  const groups = font.getUint32(table + 12);
  return Array.from({ length: groups }, (_, group) => ({
    first: font.getUint32(table + 16 + group * 12),
    last: font.getUint32(table + 20 + group * 12),
  }));
};

/** @throws RangeError where the bytes are not a font with a Unicode character map. */
export const glyphCoverage = (bytes: Uint8Array): Coverage => {
  const font = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const cmap = tableOffset(font, "cmap");
  const records = font.getUint16(cmap + 2);
  const ranges: Range[] = [];
  for (let index = 0; index < records; index += 1) {
    const table = cmap + font.getUint32(cmap + 4 + index * 8 + 4);
    const format = font.getUint16(table);
    if (format === 4) ranges.push(...segmentRanges(font, table));
    if (format === 12) ranges.push(...groupRanges(font, table));
  }
  if (ranges.length === 0) throw new RangeError("The font has no Unicode character map.");
  const points = new Set<number>();
  for (const { first, last } of ranges) for (let code = first; code <= last; code += 1) points.add(code);
  return (codePoint) => points.has(codePoint);
};
