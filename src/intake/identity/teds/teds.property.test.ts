import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { BitReader, BitWriter } from "./bits.ts";
import { readField, shortestSingle, writeField, type FieldType, type FieldValue } from "./field-types.ts";
import { readTeds } from "./read-teds.ts";
import type { BasicTeds, TedsSection } from "./teds.ts";
import { knownTemplates, type TemplateField } from "./templates.ts";
import { writeTeds } from "./write-teds.ts";

const seed = 20_261_125;
const runs = { seed, numRuns: 300 };

/** Values that a field holds without rounding: what it reads of any bits. */
const fieldValue = (type: FieldType): fc.Arbitrary<FieldValue> =>
  fc.uint8Array({ minLength: 16, maxLength: 16 }).map((bytes) => {
    const value = readField(new BitReader(bytes), type);
    return value === undefined || (value === null && type.kind === "choice") ? firstOf(type) : value;
  });

const firstOf = (type: FieldType): FieldValue => (type.kind === "choice" ? type.words[0]! : null);

const fieldValues = (fields: readonly TemplateField[]): fc.Arbitrary<Record<string, FieldValue>> =>
  fc.record(Object.fromEntries(fields.map(({ name, type }) => [name, fieldValue(type)]))).map((values) => {
    const kept = fields.filter(({ where }) => where === undefined || values[where.field] === where.is);
    return Object.fromEntries(kept.map(({ name }) => [name, values[name]!]));
  });

const section: fc.Arbitrary<TedsSection> = fc.constantFrom(36, 37, 40).chain((id) => {
  const template = knownTemplates.get(id)!;
  const { repeated } = template;
  if (repeated === undefined) return fieldValues(template.fields).map((values) => ({ template: id, values }));
  return fc
    .tuple(fieldValues(template.fields), fc.array(fieldValues(repeated.fields), { maxLength: 6 }))
    .map(([values, rows]) => ({ template: id, values: { ...values, [repeated.count]: rows.length }, rows }));
});

const basic: fc.Arbitrary<BasicTeds> = fc.record({
  manufacturer: fc.integer({ min: 17, max: 16_381 }),
  model: fc.integer({ min: 0, max: 32_767 }),
  versionLetter: fc.constantFrom("", ..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
  version: fc.integer({ min: 0, max: 63 }),
  serial: fc.integer({ min: 0, max: 16_777_215 }),
});

const text = fc.string({ unit: fc.constantFrom(..."ABCXYZabc 0123-/.~!"), maxLength: 30 }).map((words) => words.trim());

describe(`a TEDS written and read (seed ${seed})`, () => {
  test("comes back as it was, with and without check sums", () => {
    fc.assert(
      fc.property(
        basic,
        fc.array(section, { maxLength: 3 }),
        text,
        fc.boolean(),
        (basic, sections, text, checkSums) => {
          const written = writeTeds({ basic, sections, text }, { checkSums });
          if (!written.ok) throw new Error(written.fault.message);
          expect(readTeds(written.value, { checkSums })).toEqual({
            ok: true,
            value: { basic, sections, text, stopped: null },
          });
        },
      ),
      runs,
    );
  });

  test("one flipped bit of a memory with check sums is always found, or changes nothing", () => {
    fc.assert(
      fc.property(basic, fc.array(section, { maxLength: 2 }), fc.nat(), (basic, sections, place) => {
        const written = writeTeds({ basic, sections, text: "" });
        if (!written.ok) throw new Error(written.fault.message);
        const image = Uint8Array.from(written.value);
        const bit = place % (image.length * 8);
        image[bit >> 3]! ^= 1 << (bit & 7);
        expect(readTeds(image)).toMatchObject({ ok: false, fault: { code: "identity.damaged" } });
      }),
      runs,
    );
  });
});

describe(`hostile images (seed ${seed})`, () => {
  const image = fc.oneof(
    fc.uint8Array({ maxLength: 300 }),
    fc.tuple(basic, fc.array(section, { maxLength: 3 }), fc.nat(400)).map(([basic, sections, length]) => {
      const written = writeTeds({ basic, sections, text: "" }, { checkSums: false });
      return written.ok ? written.value.subarray(0, length) : new Uint8Array();
    }),
  );

  test("give a value or a failure, never an exception, and never a number that is none", () => {
    fc.assert(
      fc.property(image, fc.constantFrom(undefined, true, false), (bytes, checkSums) => {
        const teds = readTeds(bytes, checkSums === undefined ? {} : { checkSums });
        const code = teds.ok ? "read" : teds.fault.code;
        expect(["read", "identity.unreadable", "identity.damaged"]).toContain(code);
        const { basic, sections } = teds.ok ? teds.value : { basic: { manufacturer: 17 }, sections: [] };
        expect(basic.manufacturer).toBeGreaterThanOrEqual(17);
        const values = sections.flatMap(({ values, rows = [] }) =>
          [values, ...rows].flatMap((row) => Object.values(row)),
        );
        expect(values.filter((value) => typeof value === "number" && !Number.isFinite(value))).toEqual([]);
      }),
      { seed, numRuns: 1500 },
    );
  });
});

describe(`fields (seed ${seed})`, () => {
  test("a number of even or relative steps is written to the nearest step", () => {
    const type: FieldType = { kind: "even", bits: 11, start: -273, step: 1 };
    fc.assert(
      fc.property(fc.double({ min: -273, max: 1772, noNaN: true }), (value) => {
        const writer = new BitWriter();
        expect(writeField(writer, type, value)).toBe(true);
        expect(Math.abs(Number(readField(new BitReader(writer.bytes()), type)) - value)).toBeLessThanOrEqual(0.5);
      }),
      runs,
    );
  });

  test("four-byte numbers are shown with the fewest digits that stand for them", () => {
    fc.assert(
      fc.property(fc.float({ noNaN: true, noDefaultInfinity: true }), (value) => {
        const short = shortestSingle(value);
        expect(Math.fround(short) === value).toBe(true);
      }),
      runs,
    );
    expect(shortestSingle(Math.fround(3.9083e-3))).toBe(3.9083e-3);
  });
});
