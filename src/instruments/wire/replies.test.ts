import { expect, it } from "vitest";
import { parseErrorEntry } from "./error-entry.ts";
import { parseIdentification } from "./identification.ts";
import { decodeText, encodeText, showText } from "./latin-text.ts";

it("an error entry is a code and a quoted text; two quotes inside stand for one", () => {
  expect(parseErrorEntry('0,"No error"')).toEqual({ code: 0, text: "No error" });
  expect(parseErrorEntry(' -113 , "Undefined header" ')).toEqual({ code: -113, text: "Undefined header" });
  expect(parseErrorEntry('+300,"Device says ""hot"""')).toEqual({ code: 300, text: 'Device says "hot"' });
  for (const junk of ["0", "No error", '-113,"Undefined', '-113,Undefined"', ""])
    expect(parseErrorEntry(junk)).toBeNull();
});

it("an identification has four fields, the last may hold commas", () => {
  expect(parseIdentification("Maker, Model ,S1,1.0,b2")).toEqual({
    maker: "Maker",
    model: "Model",
    serial: "S1",
    firmware: "1.0,b2",
    text: "Maker, Model ,S1,1.0,b2",
  });
  for (const junk of ["", "1,2,3", "+25.4961", ",,,", "a\x07,b,c,d"]) expect(parseIdentification(junk)).toBeNull();
});

it("bytes keep what came, and sentences show it", () => {
  const every = Uint8Array.from({ length: 256 }, (_, code) => code);
  expect(encodeText(decodeText(every))).toEqual(every);
  expect(encodeText("Ω")).toEqual(Uint8Array.of(0x3f));
  expect(showText("a\x00\r\x7fé")).toBe("a\\x00\\x0d\\x7fé");
  expect(showText("x".repeat(100))).toHaveLength(80);
});
