import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, type Sensor } from "#thermometry";
import { checkCoefficients, type CheckValue, type CoefficientCheck } from "./check-coefficients.ts";
import { readPastedCheck } from "./pasted-coefficients.ts";
import { numberOf, printedDouble, printedNumber } from "./printed-number.ts";
import { coefficientsOf, withCoefficients } from "./sensor-coefficients.ts";

/** Invented thermometers with eight digits to a coefficient, and the check values that their reports would print. */
const callendar: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100.00731,
  a: 3.9079216e-3,
  b: -5.7812943e-7,
  c: -4.1538276e-12,
};
const scale: Sensor = {
  kind: "platinum",
  equation: "its-90",
  rtpw: 25.496137,
  coefficients: [{ subrange: 7, a: -2.4871359e-4, b: -3.1256784e-5, c: 4.1738926e-6 }],
};
const deviated: Sensor = { kind: "thermocouple", type: "N", deviation: [1.2345678e-3, -4.1827365e-5, 3.0918273e-8] };
const thermistor: Sensor = {
  kind: "thermistor",
  equation: "steinhart-hart",
  a: 1.1284729e-3,
  b: 2.3410784e-4,
  c: 8.7755613e-8,
};
const printedValues = (sensor: Sensor, temperatures: readonly number[], digits: number): CheckValue[] =>
  temperatures.map((temperature) => ({
    temperature,
    signal: Number(unwrap(signalOf(sensor, temperature)).signal.toFixed(digits)),
    digits,
  }));
const callendarValues = printedValues(callendar, [-196, -100, -38, 0, 100, 232, 420], 4);
const check = (sensor: Sensor, checkValues: readonly CheckValue[]): CoefficientCheck =>
  unwrap(checkCoefficients({ sensor, checkValues }));
const changed = (sensor: Sensor, changes: Readonly<Record<string, number>>): Sensor =>
  withCoefficients(sensor, new Map(Object.entries(changes)));

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

/** Each digit of each coefficient replaced by each other one. */
function* plantedErrors(sensor: Sensor): Generator<{ wrong: Sensor; name: string; value: number; position: number }> {
  for (const { name, value } of coefficientsOf(sensor)) {
    const [mantissa, power] = value.toExponential(7).split("e") as [string, string];
    let position = 0;
    for (let index = 0; index < mantissa.length; index += 1) {
      if (!/\d/.test(mantissa[index]!)) continue;
      position += 1;
      for (let digit = 0; digit <= 9; digit += 1) {
        if (String(digit) === mantissa[index]) continue;
        const text = `${mantissa.slice(0, index)}${digit}${mantissa.slice(index + 1)}e${power}`;
        yield { wrong: changed(sensor, { [name]: Number(text) }), name, value, position };
      }
    }
  }
}

describe("every single wrong digit of an eight-digit set", () => {
  /** By how many units of the last printed digit the error moves the check value that it moves most. */
  const effect = (wrong: Sensor, values: readonly CheckValue[], right: Sensor): number =>
    Math.max(
      ...values.map(({ temperature, digits }) => {
        const [is, was] = [signalOf(wrong, temperature), signalOf(right, temperature)];
        return is.ok && was.ok
          ? Math.abs(is.value.signal - was.value.signal) * 10 ** digits!
          : Number.POSITIVE_INFINITY;
      }),
    );

  it.each([
    ["Callendar-Van Dusen, 4 places", callendar, [-196, -100, -38, 0, 100, 232, 420], 4, 1, 210],
    ["Callendar-Van Dusen, 5 places", callendar, [-196, -100, -38, 0, 100, 232, 420], 5, 1, 240],
    [
      "ITS-90, 6 places, a table in steps of 50 °C",
      scale,
      [0.01, 50, 100, 150, 200, 250, 300, 350, 400, 450, 500, 550, 600, 650],
      6,
      3,
      160,
    ],
    ["deviation of a thermocouple, 6 places", deviated, [0, 200, 400, 600, 800, 1000], 6, 2, 60],
  ] as const)(
    "%s: found, and the right place named, in 99 per cent or more; never the wrong one",
    (_, sensor, temperatures, digits, matters, least) => {
      const values = printedValues(sensor, temperatures, digits);
      let found = 0;
      let cases = 0;
      for (const { wrong, name, value, position } of plantedErrors(sensor)) {
        const result = check(wrong, values);
        // Small errors included: what is pointed at alone is the wrong digit, and among several places it is one.
        const [best] = result.slips;
        const isNamed = result.slips.some(({ corrected }) => corrected.get(name) === value);
        const isRightAlone = best?.kind === "digit" && best.coefficient === name;
        expect(isNamed || result.verdict === "agree").toBe(true);
        expect(isRightAlone || result.verdict !== "found").toBe(true);
        if (effect(wrong, values, sensor) < matters) continue;
        cases += 1;
        expect(result.verdict).not.toBe("agree");
        const right = result.slips.some((slip) => {
          const lostInFront = slip.position === 0;
          return slip.corrected.get(name) === value && (lostInFront || slip.position! <= position);
        });
        if (result.verdict === "found" && right) found += 1;
      }
      expect(cases).toBeGreaterThan(least);
      expect(found / cases).toBeGreaterThanOrEqual(0.99);
    },
  );
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
