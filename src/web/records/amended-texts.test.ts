import { expect, test } from "vitest";
import { correctionsOf, keyOf, labelOf, type Text } from "./amended-texts.ts";

const texts: readonly Text[] = [
  { field: "customer.name", value: "Marrow & Finch" },
  { field: "item.serial", item: "tt-1", tag: "TT-1", value: "HX-1" },
  { field: "item.serial", item: "tt-2", tag: "TT-2", value: "HX-2" },
];

test("only what was typed and differs is a correction, each at its item", () => {
  const typed = { [keyOf(texts[0]!)]: " Marrow & Finch ", [keyOf(texts[2]!)]: " HX-3 " };
  expect(correctionsOf(texts, typed)).toEqual([{ field: "item.serial", item: "tt-2", value: "HX-3" }]);
  expect(correctionsOf(texts, {})).toEqual([]);
});

test("an emptied text is a correction: it takes away what may be left out", () =>
  expect(correctionsOf(texts, { [keyOf(texts[0]!)]: "" })).toEqual([{ field: "customer.name", value: "" }]));

test("a text is called by its item's tag", () => {
  expect(texts.map(labelOf)).toEqual(["Customer", "TT-1: serial number", "TT-2: serial number"]);
});
