import { expect, test } from "vitest";
import { answersFrom, fieldWords, inputKind, isField } from "./missing-fields.ts";

test("numbers are numbers, with a comma too; what is empty or none is left out", () => {
  expect(
    answersFrom({
      uncertainty: " 0,012 ",
      k: "2",
      driftPerYear: "much",
      id: "pr-1",
      due: "2027-03-10",
      laboratory: " ",
    }),
  ).toEqual({ uncertainty: 0.012, k: 2, id: "pr-1", due: "2027-03-10" });
});

test("every field that can be missing has words and a kind of its own", () => {
  expect(Object.keys(fieldWords).every(isField)).toBe(true);
  expect(isField("sensor")).toBe(false);
  expect([inputKind("due"), inputKind("k")]).toEqual(["date", "text"]);
});
