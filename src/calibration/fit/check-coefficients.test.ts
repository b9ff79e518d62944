import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, type Sensor } from "#thermometry";
import { checkCoefficients, type CheckValue, type CoefficientCheck } from "./check-coefficients.ts";
import { readPastedCheck } from "./pasted-coefficients.ts";
import { numberOf, printedDouble, printedNumber } from "./printed-number.ts";
import {
  callendar,
  callendarValues,
  changed,
  check,
  deviated,
  printedValues,
  scale,
  thermistor,
} from "./printed-reports.test-support.ts";

describe("check values that agree", () => {
  it.each([
    ["Callendar-Van Dusen", callendar, [-196, 0, 420], 5],
    ["ITS-90", scale, [0.01, 100, 660], 6],
    ["thermocouple", deviated, [0, 400, 1200], 4],
    ["thermistor", thermistor, [0, 25, 100], 2],
  ] as const)("point at nothing: %s", (_, sensor, temperatures, digits) => {
    const result = check(sensor, printedValues(sensor, temperatures, digits));
    expect(result).toMatchObject({ verdict: "agree", slips: [] });
    expect(result.checkValues.every(({ agrees }) => agrees)).toBe(true);
  });

  it("point at nothing either where an error does not show at the printed digits", () => {
    expect(check(changed(callendar, { c: -4.1538277e-12 }), callendarValues).slips).toEqual([]);
  });

  it("agree within half a unit of the last printed place and not beyond", () => {
    const near = (off: number): CheckValue[] => [{ temperature: 0, signal: 100.0073 + off, digits: 4 }];
    expect(check(callendar, near(0)).verdict).toBe("agree");
    expect(check(callendar, near(0.0001)).verdict).not.toBe("agree");
    expect(check(callendar, near(0)).checkValues[0]!.tolerance).toBeCloseTo(5e-5, 12);
  });

  it("take their places from the longest number where nothing is said", () => {
    const checkValues = [
      { temperature: 0, signal: 100.0073 },
      { temperature: 100, signal: Number(unwrap(signalOf(callendar, 100)).signal.toFixed(3)) + 0.004 },
    ];
    const result = check(callendar, checkValues);
    expect(result.checkValues.map(({ agrees }) => agrees)).toEqual([true, false]);
    expect(result.checkValues[1]!.tolerance).toBeCloseTo(5e-5, 12);
  });
});

describe("other slips", () => {
  const slipsOf = (wrong: Sensor): CoefficientCheck => check(wrong, callendarValues);

  it("two neighbouring digits swapped", () => {
    const result = slipsOf(changed(callendar, { a: 3.9709216e-3 }));
    expect(result.verdict).toBe("found");
    expect(result.slips[0]).toMatchObject({
      kind: "swapped-digits",
      coefficient: "a",
      position: 3,
      is: "70",
      shouldBe: "07",
    });
    expect(result.message).toMatch(/digits 3 and 4 of a are 70 and should be 07/);
  });

  it("a lost minus sign", () => {
    const result = slipsOf(changed(callendar, { b: 5.7812943e-7 }));
    expect(result).toMatchObject({ verdict: "found", slips: [{ kind: "sign", coefficient: "b" }] });
  });

  it.each([
    ["a", 3.9079216, 1e-3],
    ["b", -5.7812943e-6, 0.1],
    ["c", -4.1538276e-10, 0.01],
    ["r0", 1000.0731, 0.1],
  ])("a wrong power of ten in %s", (name, value, factor) => {
    const result = slipsOf(changed(callendar, { [name]: value }));
    expect(result.verdict).toBe("found");
    expect(result.slips[0]).toMatchObject({ kind: "decimal-shift", coefficient: name });
    expect(result.slips[0]!.corrected.get(name)! / (value * factor)).toBeCloseTo(1, 12);
  });

  it("two coefficients exchanged, even where that leaves no thermometer", () => {
    const result = slipsOf(changed(callendar, { a: -5.7812943e-7, b: 3.9079216e-3 }));
    expect(result).toMatchObject({ verdict: "found", slips: [{ kind: "exchanged", coefficient: "a", other: "b" }] });
    expect(result.checkValues[0]).toMatchObject({ computed: null, difference: null, agrees: false });
    expect(result.message).toMatch(/a and b are exchanged/);
  });

  it("a leading digit lost as a zero", () => {
    const result = slipsOf(changed(callendar, { r0: 0.00731 }));
    expect(result).toMatchObject({
      verdict: "found",
      slips: [{ kind: "digit", coefficient: "r0", position: 0, power: 2, shouldBe: "1" }],
    });
    expect(result.message).toMatch(/lost a digit in front/);
  });

  it("two wrong digits are not explained by one", () => {
    const result = slipsOf(changed(callendar, { a: 3.9179216e-3, b: -5.9812943e-7 }));
    expect(result).toMatchObject({ verdict: "unexplained", slips: [], withinRounding: false });
    expect(result.message).toMatch(/No single slip/);
  });

  it("one check value cannot tell places apart, and that is said", () => {
    const result = check(changed(callendar, { a: 3.9079316e-3 }), [callendarValues[4]!]);
    expect(result.verdict).toBe("several");
    expect(result.slips.length).toBeGreaterThan(1);
    expect(result.message).toMatch(/Several slips would explain it/);
  });

  it("a wrong check value is not blamed on a coefficient", () => {
    const values = callendarValues.map((value, index) => (index === 3 ? { ...value, signal: 100.0173 } : value));
    expect(check(callendar, values)).toMatchObject({ verdict: "unexplained", slips: [] });
  });

  it("a difference that rounding of the printed coefficients can make is called so", () => {
    const rounded = changed(callendar, { r0: 100.007, a: 3.9079e-3, b: -5.7813e-7, c: -4.1538e-12 });
    const result = check(rounded, callendarValues);
    expect(result.verdict).not.toBe("agree");
    expect(result.withinRounding).toBe(true);
    expect(result.message).toMatch(/rounding the coefficients for print/);
  });

  it.each([
    ["no check values", { sensor: callendar, checkValues: [] }, /at least one/],
    [
      "a sensor without coefficients",
      { sensor: { kind: "thermocouple", type: "K" } as const, checkValues: callendarValues },
      /nothing to check/,
    ],
    [
      "digits that cannot be",
      { sensor: callendar, checkValues: [{ temperature: 0, signal: 1, digits: 1.5 }] },
      /whole number/,
    ],
    ["numbers that are none", { sensor: callendar, checkValues: [{ temperature: 0, signal: Number.NaN }] }, /finite/],
  ])("refuses %s", (_, input, sentence) => {
    expect(checkCoefficients(input)).toMatchObject({
      ok: false,
      fault: { code: "input.invalid", message: expect.stringMatching(sentence) as string },
    });
  });
});

describe("pasted text", () => {
  it("keeps zeros at the end as digits", () => {
    const pasted = unwrap(
      readPastedCheck({
        sensor: {
          kind: "platinum",
          equation: "callendar-van-dusen",
          r0: "100.000",
          a: "3.90830E-03",
          b: "-5.77500E-07",
          c: "-4.18300e-12",
        },
        checkValues: [
          { temperature: "100", signal: "138.50550" },
          { temperature: 0, signal: 100, digits: 5 },
        ],
      }),
    );
    expect(pasted.sensor).toMatchObject({ r0: 100, a: 3.9083e-3 });
    expect(pasted.printed!.get("a")).toEqual({ negative: false, digits: "390830", last: -8 });
    expect(pasted.checkValues[0]).toEqual({ temperature: 100, signal: 138.5055, digits: 5 });
    expect(unwrap(checkCoefficients(pasted)).verdict).toBe("agree");
  });

  it("finds a digit that was dropped to zero at the end", () => {
    const input = {
      sensor: {
        kind: "platinum",
        equation: "callendar-van-dusen",
        r0: "100.000",
        a: "3.90830E-03",
        b: "-5.77500E-07",
        c: "-4.18300e-12",
      },
      checkValues: printedValues(
        changed(callendar, { r0: 100, a: 3.90834e-3, b: -5.775e-7, c: -4.183e-12 }),
        [-100, 0, 100, 300, 420],
        5,
      ),
    };
    expect(unwrap(checkCoefficients(unwrap(readPastedCheck(input))))).toMatchObject({
      verdict: "found",
      slips: [{ coefficient: "a", position: 6, is: "0", shouldBe: "4" }],
    });
  });

  it.each([
    [{ sensor: { kind: "platinum" }, checkValues: [] }, /sensor/],
    [{ sensor: callendar, checkValues: [{ temperature: 0, signal: "a lot" }] }, /checkValues\.0\.signal: "a lot"/],
    [{ sensor: callendar }, /checkValues/],
    [7, /The input/],
    [{ sensor: { ...callendar, a: "much" }, checkValues: [] }, /sensor\.a/],
  ])("that cannot be read is refused with its place", (input, sentence) => {
    expect(readPastedCheck(input)).toMatchObject({
      ok: false,
      fault: { message: expect.stringMatching(sentence) as string },
    });
  });

  it.each([
    ["1.50", { negative: false, digits: "150", last: -2 }],
    ["-0.0320", { negative: true, digits: "320", last: -4 }],
    ["\u22124.1E-3", { negative: true, digits: "41", last: -4 }],
    [".5", { negative: false, digits: "5", last: -1 }],
    ["12.", { negative: false, digits: "12", last: 0 }],
    ["0", { negative: false, digits: "0", last: 0 }],
    ["1e", undefined],
    [".", undefined],
    ["", undefined],
    ["1,5", undefined],
  ])("%s as a printed number", (text, expected) => expect(printedNumber(text)).toEqual(expected));

  it("is the double that it stands for", () => {
    for (const value of [100.00731, -5.7812943e-7, 4.1538276e-12, 1e21, 0, 123])
      expect(numberOf(printedDouble(value))).toBe(value);
  });
});
