import { describe, expect, it } from "vitest";
import { nearestWord } from "./nearest-word.ts";

describe("the word that was probably meant", () => {
  it.each([
    ["tolerence", "tolerance"],
    ["Tolerance", "tolerance"],
    ["sensor_kind", "sensorKind"],
    ["itmes", "items"],
    ["limit", "limits"],
  ])("%s is %s", (written, meant) => {
    expect(nearestWord(written, ["tolerance", "sensorKind", "items", "limits", "id"])).toBe(meant);
  });

  it("is none where nothing is near, and never another single letter", () => {
    expect(nearestWord("colour", ["tolerance", "items"])).toBeUndefined();
    expect(nearestWord("Q", ["B", "E", "J", "K"])).toBeUndefined();
  });
});
