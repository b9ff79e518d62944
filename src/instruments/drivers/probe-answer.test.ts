import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { understandProbe } from "./probe-answer.ts";
import { instrumentEntrySchema } from "./entry.ts";

const inputs = { first: 1, last: 2 };
const asks = (says: "data-sheet-hex" | "data-sheet-base64" | "serial") => ({
  ask: "PROBe? (@{input})",
  says,
  none: "NONE",
  inputs,
});

describe("what a readout says is plugged in", () => {
  test.each([
    ["data-sheet-hex", " 33C0 274e\r", { kind: "data-sheet", bytes: Uint8Array.from([0x33, 0xc0, 0x27, 0x4e]) }],
    ["data-sheet-hex", '"33,C0"', { kind: "data-sheet", bytes: Uint8Array.from([0x33, 0xc0]) }],
    ["data-sheet-base64", "M8AnTg==", { kind: "data-sheet", bytes: Uint8Array.from([0x33, 0xc0, 0x27, 0x4e]) }],
    ["serial", '"PR-2207"', { kind: "serial", serial: "PR-2207" }],
    ["serial", "none", { kind: "none" }],
    ["data-sheet-hex", '"NONE"', { kind: "none" }],
    ["data-sheet-hex", "33C", null],
    ["data-sheet-hex", "", null],
    ["data-sheet-base64", "M8AnT", null],
    ["serial", "", null],
    ["serial", "x".repeat(81), null],
    ["serial", "a\u0007b", null],
  ] as const)("%s: %j", (says, line, meaning) => {
    expect(understandProbe(asks(says), line)).toEqual(meaning);
  });

  test("base 64 is what everybody writes (RFC 4648; seed 20261125)", () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 100 }), (bytes) => {
        expect(understandProbe(asks("data-sheet-base64"), Buffer.from(bytes).toString("base64"))).toEqual({
          kind: "data-sheet",
          bytes,
        });
      }),
      { seed: 20_261_125 },
    );
  });

  test("an entry that can read several inputs must say in its question which is meant", () => {
    const entry = {
      entry: "x",
      revision: 1,
      title: "x",
      role: "readout",
      transport: { kind: "tcp-socket", end: "lf" },
      identify: {},
      read: { Ω: { ask: "R?", answers: "Ω", inputs: { first: 1, last: 1 } } },
    };
    const checked = (ask: string) => instrumentEntrySchema.safeParse({ ...entry, probe: { ...asks("serial"), ask } });
    expect(checked("PROBe? (@{input})").error).toBeUndefined();
    expect(checked("PROBe?").success).toBe(false);
  });
});
