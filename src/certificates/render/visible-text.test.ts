import { expect, test } from "vitest";
import { certificateFonts } from "./fonts.ts";
import { visibleText } from "./visible-text.ts";

const { covers } = certificateFonts();

test("the fonts have Latin, Greek, Cyrillic and Chinese, and the signs that measurements need", () => {
  const missing = [..."Äßœ Ωλ Жя 温度計 −±°·⁻²₀–≤ \u202f"].filter((character) => !covers(character.codePointAt(0)!));
  expect(missing).toEqual([]);
});

test("leaves nothing out: characters that no font has become their codes, line ends become spaces", () => {
  const visible = visibleText(covers);
  expect(visible.text("a🌡b")).toBe("a[U+1F321]b");
  expect(visible.text("up \u202e down")).toBe("up [U+202E] down");
  expect(visible.text("one\ntwo\u0007")).toBe("one two ");
  expect(visible.text("lone \ud83c end")).toBe("lone [U+D83C] end");
  expect([...visible.replaced]).toEqual(["[U+1F321]", "[U+202E]", "[U+D83C]"]);
});

test("gives long tags places to break, and nothing else", () => {
  const visible = visibleText(covers);
  expect(visible.text("TT-204 characterised")).toBe("TT-204 characterised");
  const hash = "0123456789abcdef".repeat(4);
  expect(visible.text(hash)).toBe(hash);
  const broken = visible.text("PLANT-4711-LINE-2-TT-204");
  expect(broken).not.toBe("PLANT-4711-LINE-2-TT-204");
  expect(broken.replaceAll("\u200b", "")).toBe("PLANT-4711-LINE-2-TT-204");
});
