import { readFileSync } from "node:fs";
import { crc32, deflateRawSync } from "node:zlib";
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readSheetsApart } from "./read-sheets-apart.ts";
import { repackedWorkbook } from "./repacked-workbook.ts";
import { readXlsxSheet } from "./xlsx-sheet.ts";

const workbook = readFileSync(new URL("../../../test/fixtures/readings/wide.xlsx", import.meta.url));

/** An archive of one compressed part; `says` is the size to which it claims to unpack. */
const archive = (name: string, content: Buffer, says = content.length): Buffer => {
  const packed = deflateRawSync(content, { level: 9 });
  const header = Buffer.alloc(30);
  header.writeUInt32LE(0x0403_4b50, 0);
  header.writeUInt16LE(20, 4);
  header.writeUInt16LE(8, 8);
  header.writeUInt32LE(crc32(content), 14);
  header.writeUInt32LE(packed.length, 18);
  header.writeUInt32LE(says, 22);
  header.writeUInt16LE(name.length, 26);
  const entry = Buffer.alloc(46);
  entry.writeUInt32LE(0x0201_4b50, 0);
  header.copy(entry, 6, 4, 30);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x0605_4b50, 0);
  end.writeUInt16LE(1, 8);
  end.writeUInt16LE(1, 10);
  end.writeUInt32LE(entry.length + name.length, 12);
  end.writeUInt32LE(30 + name.length + packed.length, 16);
  return Buffer.concat([header, Buffer.from(name), packed, entry, Buffer.from(name), end]);
};

/** The parts of an archive that is not compressed, one after the other. */
const contentsOf = (plain: Buffer): string[] => {
  const contents: string[] = [];
  for (let at = 0; plain.readUInt32LE(at) === 0x0403_4b50;) {
    const begins = at + 30 + plain.readUInt16LE(at + 26);
    at = begins + plain.readUInt32LE(at + 18);
    contents.push(plain.toString("latin1", begins, at));
  }
  return contents;
};

const bomb = (says?: number) => archive("xl/worksheets/sheet1.xml", Buffer.alloc(200_000_000), says);

describe("a workbook's archive", () => {
  it("repacked, reads as it did before", async () => {
    const repacked = repackedWorkbook(workbook, "wide.xlsx", 10_000_000);
    if (!repacked.ok) throw new Error(repacked.fault.message);
    expect(repacked.value.length).toBeGreaterThan(workbook.length);
    expect(await readXlsxSheet(repacked.value, "again.xlsx")).toEqual(await readXlsxSheet(workbook, "wide.xlsx"));
  });

  it.each([undefined, 1000])("that unpacks to too much is refused, whatever size it claims (%s)", (says) => {
    const small = bomb(says);
    expect(small.length).toBeLessThan(400_000);
    expect(repackedWorkbook(small, "bomb.xlsx", 134_217_728)).toMatchObject({
      ok: false,
      fault: { code: "input.malformed", message: expect.stringContaining("unpacks to more than 128 MiB") },
    });
  });

  it.each([
    ["cut short", workbook.subarray(0, workbook.length - 40)],
    ["of nothing but its sign", Buffer.from("PK\u0003\u0004")],
    ["with a list that leads outside", Buffer.concat([workbook.subarray(0, -22), bomb().subarray(-22)])],
    ["whose part is not what it should be", Buffer.from(workbook).fill(0xff, 60, 400)],
  ])("%s is said to be none, not thrown", (_, bytes) => {
    expect(repackedWorkbook(bytes, "torn.xlsx", 10_000_000)).toMatchObject({
      ok: false,
      fault: { message: expect.stringContaining("no whole XLSX workbook") },
    });
  });
});

it("bytes that were changed anywhere are refused, or change nothing (seed 2711)", () => {
  const whole = repackedWorkbook(workbook, "wide.xlsx", 10_000_000);
  if (!whole.ok) throw new Error(whole.fault.message);
  const original = new Set(contentsOf(whole.value));
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.nat({ max: workbook.length - 1 }), fc.integer({ min: 1, max: 255 })), {
        minLength: 1,
        maxLength: 4,
      }),
      (changes) => {
        const changed = Buffer.from(workbook);
        for (const [at, by] of changes) changed[at] = changed[at]! ^ by;
        const outcome = repackedWorkbook(changed, "changed.xlsx", 10_000_000);
        // Names, times and the number of parts may have changed; what is in a part may not.
        const foreign = outcome.ok ? contentsOf(outcome.value).filter((content) => !original.has(content)) : [];
        expect(foreign).toEqual([]);
        expect(outcome.ok ? "read" : outcome.fault.code).toMatch(/^(read|input\.malformed)$/);
      },
    ),
    { seed: 2711, numRuns: 500 },
  );
});

describe("on a thread of its own", () => {
  it("content decides, not the name", async () => {
    const named = await readSheetsApart(workbook, "readings.csv");
    expect(named).toMatchObject({ ok: true, value: { names: ["Log"], name: "Log" } });
    const text = await readSheetsApart(Buffer.from("time;item-1\n0;100,2\n"), "readings.xlsx");
    expect(text).toMatchObject({ ok: true, value: { names: [], sheet: { decimalComma: true } } });
  });

  it.each([
    ["UTF-16 of little end", Buffer.from("\uFEFFZeit;Prüfling Ω\n0;1\n", "utf16le")],
    ["the Western code page", Buffer.from("Zeit;Prüfling °C\n0;1\n", "latin1")],
  ])("a text in %s is understood", async (_, bytes) => {
    const read = await readSheetsApart(bytes, "r.csv");
    expect(read.ok && read.value.sheet.rows[0]!.cells[1]).toMatch(/^Prüfling (Ω|°C)$/);
  });

  it("a bomb, a picture and a workbook of the old kind are refused in words", async () => {
    const refusals = await Promise.all([
      readSheetsApart(bomb(10), "bomb.xlsx"),
      readSheetsApart(Buffer.from([0x89, 0x50, 0x4e, 0x47, 0, 0, 0, 13]), "picture.csv"),
      readSheetsApart(Buffer.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]), "old.xls"),
      readSheetsApart(workbook, "wide.xlsx", "Other"),
    ]);
    expect(refusals.map((outcome) => (outcome.ok ? "" : outcome.fault.message))).toEqual([
      expect.stringContaining("unpacks to more"),
      expect.stringContaining("not a text file"),
      expect.stringContaining("old kind (XLS)"),
      expect.stringContaining('no sheet "Other". It has: Log.'),
    ]);
  });
});
