import { expect, test } from "vitest";
import { freeName } from "./free-name.ts";

test("the first number that is free", () => {
  expect(freeName("readout", [])).toBe("readout-1");
  expect(freeName("readout", [{ name: "readout-1" }, { name: "source-2" }, { name: "readout-3" }])).toBe("readout-2");
  expect(freeName("source", [{ name: "source-1" }, { name: "source-2" }])).toBe("source-3");
});
