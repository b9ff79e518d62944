import { describe, expect, it } from "vitest";
import { signalOf, type Sensor } from "#thermometry";
import type { CheckValue } from "./check-coefficients.ts";
import { callendar, changed, check, deviated, printedValues, scale } from "./printed-reports.test-support.ts";
import { coefficientsOf } from "./sensor-coefficients.ts";

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
