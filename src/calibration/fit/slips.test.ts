import { describe, expect, it } from "vitest";
import { extendedTo, leadingPower, numberOf, printedNumber, type PrintedNumber } from "./printed-number.ts";
import { possibleSlips, type PrintedCoefficient, type Slip } from "./slips.ts";

const read = (text: string): PrintedNumber => printedNumber(text)!;
const coefficients: readonly PrintedCoefficient[] = [
  { name: "a", printed: read("1.2") },
  { name: "b", printed: read("-3.05") },
];
const slips = [...possibleSlips(coefficients)];
const of = (kind: Slip["kind"], coefficient: string): Slip[] =>
  slips.filter((slip) => slip.kind === kind && slip.coefficient === coefficient);

describe("every single slip of two coefficients, 1.2 and −3.05", () => {
  it("is as many as there are: nine other digits at nine places, neighbours, a sign, twelve powers, one exchange", () => {
    for (const name of ["a", "b"]) {
      expect(of("digit", name)).toHaveLength(81);
      expect(of("swapped-digits", name)).toHaveLength(2);
      expect(of("sign", name)).toHaveLength(1);
      expect(of("decimal-shift", name)).toHaveLength(12);
    }
    expect(of("exchanged", "a")).toHaveLength(1);
    expect(slips).toHaveLength(2 * 96 + 1);
  });

  it("has a digit's place counted from the first one, with its power of ten; 1.2 has lost the zero of 1.20", () => {
    const places = of("digit", "a").filter(({ shouldBe }) => shouldBe === "7");
    expect(places.map(({ position, power, is }) => [position, power, is])).toEqual([
      [0, 6, "0"],
      [0, 5, "0"],
      [0, 4, "0"],
      [0, 3, "0"],
      [0, 2, "0"],
      [0, 1, "0"],
      [1, 0, "1"],
      [2, -1, "2"],
      [3, -2, "0"],
    ]);
    expect(places.map(({ corrected }) => corrected.get("a"))).toEqual([
      7_000_001.2, 700_001.2, 70_001.2, 7001.2, 701.2, 71.2, 7.2, 1.7, 1.27,
    ]);
    for (const { is, shouldBe } of of("digit", "b")) expect(is).not.toBe(shouldBe);
    expect(of("digit", "b").find(({ position, shouldBe }) => position === 3 && shouldBe === "9")!.corrected).toEqual(
      new Map([["b", -3.09]]),
    );
  });

  it("has neighbours the wrong way round, but not two that are alike", () => {
    expect(
      of("swapped-digits", "a").map(({ position, power, is, shouldBe, corrected }) => [
        position,
        power,
        is,
        shouldBe,
        corrected.get("a"),
      ]),
    ).toEqual([
      [1, 0, "12", "21", 2.1],
      [2, -1, "20", "02", 1.02],
    ]);
    expect(of("swapped-digits", "b").map(({ corrected }) => corrected.get("b"))).toEqual([-0.35, -3.5]);
    expect(
      [...possibleSlips([{ name: "c", printed: read("1.1") }])].some(({ kind }) => kind === "swapped-digits"),
    ).toBe(false);
  });

  it("has the sign, and six powers of ten either way", () => {
    expect(of("sign", "b")[0]).toMatchObject({ is: "-3.05", shouldBe: "3.05", corrected: new Map([["b", 3.05]]) });
    const shifted = of("decimal-shift", "b").map(({ corrected }) => corrected.get("b")!);
    expect(shifted.map((value) => Math.round(Math.log10(value / -3.05)))).toEqual([
      -6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6,
    ]);
    expect(of("decimal-shift", "a")[5]).toMatchObject({ is: "1.2", shouldBe: "0.12" });
  });

  it("has two in each other's place, unless they are equal", () => {
    expect(of("exchanged", "a")[0]).toMatchObject({
      other: "b",
      is: "1.2, -3.05",
      shouldBe: "-3.05, 1.2",
      corrected: new Map([
        ["a", -3.05],
        ["b", 1.2],
      ]),
    });
    const three = [...coefficients, { name: "c", printed: read("1.20") }];
    expect(
      [...possibleSlips(three)]
        .filter(({ kind }) => kind === "exchanged")
        .map(({ coefficient, other }) => `${coefficient}${other!}`),
    ).toEqual(["ab", "bc"]);
  });

  it("leaves nothing whole alone: it has neither sign nor power", () => {
    const kinds = [...possibleSlips([{ name: "z", printed: read("0") }])].map(({ kind }) => kind);
    expect(new Set(kinds)).toEqual(new Set(["digit"]));
    expect([...possibleSlips([])]).toEqual([]);
  });
});

describe("a printed number", () => {
  it("knows the power of its first digit, and takes zeros at its end", () => {
    expect(leadingPower(read("123.45"))).toBe(2);
    expect(leadingPower(read("0.0045"))).toBe(-3);
    expect(extendedTo(read("1.2"), -4)).toEqual({ negative: false, digits: "12000", last: -4 });
    expect(extendedTo(read("1.2"), -1)).toEqual(read("1.2"));
    expect(extendedTo(read("1.2"), 3)).toEqual(read("1.2"));
    expect(numberOf(extendedTo(read("-1.2"), -5))).toBe(-1.2);
  });
});
