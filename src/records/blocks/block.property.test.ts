import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import { canonicalJson } from "../chain/canonical-json.ts";
import { sampleEvents, sampleReadings } from "../sample-log.test-support.ts";
import { packLines, unpackLines } from "./block.ts";

const seed = 20_261_125;

const wire = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }).map(String),
  fc.float({ noNaN: true, noDefaultInfinity: true }).map((value) => value.toExponential(6).replace("e", "E")),
  fc.float({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 }).map((value) => value.toFixed(4)),
  fc.string({ unit: "binary" }).filter((text) => text.isWellFormed()),
  fc.constantFrom("+1.385000E+02", "-0.0000", "1e5", "138.50", "", " 1", "+1,3", "9.9E+37", "-1.0E-03"),
);

const number = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.integer({ min: -1_000_000, max: 1_000_000 }).map((digits) => digits / 10_000),
  fc.constantFrom(0, -0, 1e300, 5e-324, 2 ** 53, -(2 ** 53), 0.1 + 0.2, 1 / 3, 281_474_976_710_655.5),
);

const readings = fc
  .record({
    n: fc.nat(),
    at: number,
    channel: fc.constantFrom("reference", "item-1", "ünïcode"),
    times: fc.array(number, { maxLength: 12 }),
    more: fc.option(fc.record({ by: fc.string().filter((text) => text.isWellFormed()) }), { nil: undefined }),
  })
  .chain(({ n, at, channel, times, more }) =>
    fc
      .record({
        values: fc.array(number, { minLength: times.length, maxLength: times.length }),
        wire: fc.option(fc.array(wire, { minLength: times.length, maxLength: times.length }), { nil: undefined }),
      })
      .map((rest) => canonicalJson({ kind: "readings-taken", n, at, channel, unit: "Ω", times, ...rest, ...more })),
  );

/** What looks like readings and is none, or is not as canonical JSON would write it. */
const odd = fc.oneof(
  fc.string().filter((text) => !text.includes("\n") && text.isWellFormed()),
  fc.json({ maxDepth: 3 }).filter((text) => !text.includes("\n") && text.isWellFormed()),
  fc.constantFrom(
    "",
    "{}",
    '{"at":1,"kind":"readings-taken"}',
    '{"at":1, "kind":"readings-taken","n":3,"times":[],"values":[]}',
    '{"at":1,"kind":"readings-taken","n":1.5,"times":[],"values":[]}',
    '{"at":1,"kind":"readings-taken","n":1,"times":[1],"values":[1,2]}',
    '{"at":1,"kind":"readings-taken","n":1,"times":[1],"values":["1"],"wire":["1"]}',
    '{"at":1,"kind":"readings-taken","n":1,"times":[1],"values":[1.0],"wire":["1"]}',
    '{"at":1,"kind":"readings-taken","n":1,"times":[1],"values":[1],"wire":["1","2"]}',
    '{"at":1,"kind":"readings-taken","n":1,"times":[1e400],"values":[1]}',
  ),
);

describe("a block of lines", () => {
  it(`gives back the very same text, whatever the lines say, seed ${seed} [R21]`, () => {
    fc.assert(
      fc.property(fc.array(fc.oneof({ arbitrary: readings, weight: 3 }, odd), { maxLength: 30 }), (lines) => {
        expect(unpackLines(packLines(lines))).toEqual(lines);
      }),
      { seed, numRuns: 400 },
    );
  });

  it("gives back the lines of a whole run [R21]", () => {
    const lines = [...sampleEvents(), sampleReadings(30, 500)].map((draft, n) => canonicalJson({ ...draft, n: n + 1 }));
    expect(unpackLines(packLines(lines))).toEqual(lines);
  });

  it("refuses what it would not give back [R21]", () => {
    expect(() => packLines(["one\nmore"])).toThrow(/does not give its lines back/);
    expect(() => packLines(["half a character \ud83d"])).toThrow(/does not give its lines back/);
  });

  it(`that was altered is an error of a known sort, or other lines, seed ${seed} [R21]`, () => {
    const random = seededGenerator(seed);
    const lines = Array.from({ length: 60 }, (_, n) => canonicalJson({ ...sampleReadings(n * 10 + 1, 10), n }));
    const block = packLines(lines);
    let refused = 0;
    for (let turn = 0; turn < 1000; turn += 1) {
      const changed = Buffer.from(block);
      const at = Math.floor(random.next() * changed.length);
      changed[at] = changed[at]! ^ (1 + Math.floor(random.next() * 255));
      try {
        unpackLines(changed);
      } catch (thrown) {
        if (!(thrown instanceof RangeError || thrown instanceof SyntaxError || thrown instanceof TypeError))
          throw thrown;
        refused += 1;
      }
    }
    expect(refused).toBeGreaterThan(0);
  });
});
