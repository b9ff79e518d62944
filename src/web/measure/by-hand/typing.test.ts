import { describe, expect, it } from "vitest";
import { press, startFrom, type Key } from "./typing.ts";

const typed = (last: string | null, keys: readonly Key[]): string =>
  keys.reduce((typing, key) => press(typing, key), startFrom(last)).text;

describe("the keypad", () => {
  it("begins with the last value, and the digits that change are replaced", () => {
    expect(startFrom("50.2")).toEqual({ text: "50.2", from: 1, to: 4 });
    expect(typed("50.2", ["0", ".", "4"])).toBe("50.4");
    expect(typed("99,8", ["9", ",", "9"])).toBe("99,9");
    expect(startFrom("118.903 Ω")).toEqual({ text: "118.903", from: 2, to: 7 });
    expect(startFrom("100")).toEqual({ text: "100", from: 2, to: 3 });
    expect(startFrom(null)).toEqual({ text: "", from: 0, to: 0 });
  });

  it("takes comma and point, and one of them at a time", () => {
    expect(typed(null, ["2", "1", ",", "5"])).toBe("21,5");
    expect(typed(null, ["2", ".", "1", ",", "5"])).toBe("21,5");
    expect(typed(null, [".", "5"])).toBe(".5");
  });

  it("steps back over the selection or one digit, changes the sign and clears", () => {
    expect(typed("50.2", ["back"])).toBe("5");
    expect(typed("50.2", ["back", "back", "7"])).toBe("7");
    expect(typed(null, ["4", "sign"])).toBe("-4");
    expect(typed(null, ["4", "sign", "sign", "2"])).toBe("42");
    expect(typed("\u22124", ["sign"])).toBe("4");
    expect(typed("50.2", ["clear", "7"])).toBe("7");
  });

  it("ends where no display has more digits", () => {
    expect(
      typed(
        null,
        Array.from({ length: 40 }, () => "1" as const),
      ),
    ).toHaveLength(24);
  });
});
