import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { signalOf, standardPlatinum, type Sensor } from "#thermometry";
import { looksReversed } from "./reversed-signal.ts";

const typeK: Sensor = { kind: "thermocouple", type: "K" };
/** What a pair connected the wrong way round shows at a temperature, and the error that this looks like. */
const reversed = (temperature: number, junction: number | undefined): [number, number] => {
  const right = unwrap(signalOf(typeK, temperature, junction === undefined ? {} : { coldJunction: junction })).signal;
  const reference = junction ?? 0;
  return [-right, 2 * (reference - temperature)];
};

describe("a thermocouple connected the wrong way round", () => {
  it.each([
    [100, undefined],
    [100, 23],
    // Without its junction the turned signal would be 39 K away, more than a fifth of the error of 120 K.
    [100, 40],
    [-60, 23],
    [400, 40],
  ])("is seen at %s °C with its reference junction at %s °C", (temperature, junction) => {
    const [signal, error] = reversed(temperature, junction);
    expect(looksReversed(typeK, signal, junction, temperature, error)).toBe(true);
    // The same signal the right way round agrees with nothing when it is turned.
    expect(looksReversed(typeK, -signal, junction, temperature, error)).toBe(false);
  });

  it("counts its reference junction: turned, the signal gives a temperature from there", () => {
    const [signal, error] = reversed(100, 40);
    // Without the junction the turned signal is 40 K away, and the error, 120 K, is not five times that.
    expect(looksReversed(typeK, signal, undefined, 100, error)).toBe(false);
  });

  it("is not looked for in an ordinary error, in another sensor, or where the turned signal has no temperature", () => {
    const [signal] = reversed(2.4, undefined);
    expect(looksReversed(typeK, signal, undefined, 2.4, -4.9)).toBe(false);
    expect(looksReversed(typeK, signal, undefined, 2.4, -5)).toBe(true);
    expect(looksReversed(standardPlatinum, -100, undefined, 0, -300)).toBe(false);
    expect(looksReversed(typeK, -100, undefined, 1300, -2600)).toBe(false);
  });
});
