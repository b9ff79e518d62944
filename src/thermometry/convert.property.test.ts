import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { unwrap } from "#fault";
import { prepare } from "./prepare.ts";
import { thermocoupleTypes, type Sensor } from "./sensor.ts";

/** Every kind, with coefficients drawn around real ones. */
const sensors: fc.Arbitrary<Sensor> = fc.oneof(
  fc.record({ kind: fc.constant("thermocouple" as const), type: fc.constantFrom(...thermocoupleTypes) }),
  fc.record({
    kind: fc.constant("thermocouple" as const),
    type: fc.constantFrom("K", "N", "J", "S", "R", "T", "E" as const),
    // A hundredth of the slope at most where the slope is smallest but for the coldest kelvins.
    deviation: fc
      .tuple(fc.double({ min: -0.02, max: 0.02, noNaN: true }), fc.double({ min: 0, max: 5e-5, noNaN: true }))
      .map(([d0, d1]) => [d0, d1]),
  }),
  fc.record({
    kind: fc.constant("platinum" as const),
    equation: fc.constant("its-90" as const),
    rtpw: fc.double({ min: 0.25, max: 1000, noNaN: true }),
    coefficients: fc
      .tuple(fc.double({ min: -5e-4, max: 5e-4, noNaN: true }), fc.double({ min: -5e-5, max: 5e-5, noNaN: true }))
      .map(([a, b]) => [
        { subrange: 4, a, b },
        { subrange: 7, a, b, c: b / 10 },
      ]),
  }),
  fc.record({
    kind: fc.constant("platinum" as const),
    equation: fc.constant("callendar-van-dusen" as const),
    r0: fc.double({ min: 10, max: 2000, noNaN: true }),
    a: fc.double({ min: 3.8e-3, max: 4e-3, noNaN: true }),
    b: fc.double({ min: -6.2e-7, max: -5.4e-7, noNaN: true }),
    c: fc.double({ min: -6e-12, max: 0, noNaN: true }),
  }),
  fc.record({
    kind: fc.constant("thermistor" as const),
    equation: fc.constant("steinhart-hart" as const),
    a: fc.double({ min: 5e-4, max: 1.5e-3, noNaN: true }),
    b: fc.double({ min: 2.1e-4, max: 2.6e-4, noNaN: true }),
    c: fc.double({ min: 0, max: 2e-7, noNaN: true }),
  }),
  fc.record({
    kind: fc.constant("loop" as const),
    lower: fc.double({ min: -200, max: 100, noNaN: true }),
    upper: fc.double({ min: 101, max: 1000, noNaN: true }),
    current: fc.constantFrom([4, 20] as const, [20, 4] as const, [0, 20] as const, [10, 50] as const),
  }),
);
const shares = fc.double({ min: 0, max: 1, noNaN: true });
/** Fewer when each of thousands of mutants is met. */
const numRuns = Number(process.env["PROPERTY_RUNS"] ?? 3000);
const run = { seed: 901_990, numRuns };

const within = (range: { readonly lower: number; readonly upper: number }, share: number): number =>
  Math.min(range.upper, range.lower + share * (range.upper - range.lower));

/** Seams where the published functions themselves disagree by more than 1 µK, and type B's double-valued start. */
const isHonestlyUncertain = (sensor: Sensor, temperature: number): boolean =>
  sensor.kind === "thermocouple" &&
  ((sensor.type === "B" && temperature < 42.2) || (sensor.type === "C" && Math.abs(temperature - 630.615) < 1e-5));

describe("every sensor (seed 901990)", () => {
  it("gives a temperature back from its signal to 1e-6 K, thermocouples with a reference junction too", () => {
    fc.assert(
      fc.property(sensors, shares, fc.double({ min: 0, max: 50, noNaN: true }), (sensor, share, coldJunction) => {
        const prepared = unwrap(prepare(sensor));
        const temperature = within(prepared.temperatureRange, share);
        fc.pre(!isHonestlyUncertain(sensor, temperature));
        // A drawn deviation may flatten the coldest kelvins of a thermocouple, which is then said, not guessed.
        fc.pre(!("deviation" in sensor && temperature < -250));
        const { signal } = unwrap(prepared.signal(temperature, { coldJunction }));
        const back = unwrap(prepared.temperature(signal, { coldJunction }));
        expect(Math.abs(back.temperature - temperature)).toBeLessThan(1e-6);
      }),
      run,
    );
  });

  it("has a signal that only rises or only falls, as its slope says", () => {
    fc.assert(
      fc.property(sensors, shares, shares, (sensor, one, other) => {
        const prepared = unwrap(prepare(sensor));
        const [low, high] = [one, other]
          .map((share) => within(prepared.temperatureRange, share))
          .sort((a, b) => a - b) as [number, number];
        fc.pre(high - low > 1e-5 && !isHonestlyUncertain(sensor, low) && !("deviation" in sensor && low < -250));
        const first = unwrap(prepared.signal(low));
        const second = unwrap(prepared.signal(high));
        expect(Math.sign(second.signal - first.signal)).toBe(Math.sign(first.slope));
        expect(Math.sign(second.slope)).toBe(Math.sign(first.slope));
      }),
      run,
    );
  });

  it("has the numeric derivative as its slope", () => {
    fc.assert(
      fc.property(sensors, shares, (sensor, share) => {
        const prepared = unwrap(prepare(sensor));
        const { lower, upper } = prepared.temperatureRange;
        const step = 2e-4;
        const temperature = Math.min(
          Math.max(within(prepared.temperatureRange, share), lower + 2 * step),
          upper - 2 * step,
        );
        // Published pieces join in value; their slopes differ a little at the joins.
        fc.pre([0, 0.01, 630.615, 760, 1064.18, 1664.5].every((seam) => Math.abs(temperature - seam) > 1e-3));
        const at = (t: number): number => unwrap(prepared.signal(t)).signal;
        const numeric = (at(temperature + step) - at(temperature - step)) / (2 * step);
        const scale = Math.max(
          ...[prepared.signalRange.lower, prepared.signalRange.upper, at(temperature)].map(Math.abs),
        );
        expect(Math.abs(unwrap(prepared.signal(temperature)).slope - numeric)).toBeLessThan(
          1e-5 * Math.abs(numeric) + (4e-16 * scale) / step,
        );
      }),
      run,
    );
  });

  it("never answers with a number that is not finite, whatever it is given", () => {
    const anything = fc.oneof(fc.double(), fc.constantFrom(NaN, Infinity, -Infinity, 1e308, -1e308, -0, 5e-324));
    const wild: fc.Arbitrary<Sensor> = fc.oneof(
      sensors,
      fc.record({
        kind: fc.constant("platinum" as const),
        equation: fc.constant("callendar-van-dusen" as const),
        r0: anything,
        a: anything,
        b: anything,
        c: anything,
      }),
      fc.record({
        kind: fc.constant("thermistor" as const),
        equation: fc.constant("steinhart-hart" as const),
        a: anything,
        b: anything,
        c: anything,
        d: anything,
      }),
      fc.record({
        kind: fc.constant("loop" as const),
        lower: anything,
        upper: anything,
        current: fc.tuple(anything, anything),
      }),
      fc.record({
        kind: fc.constant("thermocouple" as const),
        type: fc.constantFrom(...thermocoupleTypes),
        deviation: fc.array(anything, { maxLength: 5 }),
      }),
      fc.record({
        kind: fc.constant("platinum" as const),
        equation: fc.constant("its-90" as const),
        rtpw: anything,
        coefficients: fc.tuple(anything, anything, anything).map(([a, b, c]) => [
          { subrange: 4, a, b },
          { subrange: 7, a, b, c },
        ]),
      }),
    );
    fc.assert(
      fc.property(wild, anything, anything, (sensor, value, coldJunction) => {
        const prepared = prepare(sensor);
        const outcomes = prepared.ok
          ? [prepared.value.signal(value, { coldJunction }), prepared.value.temperature(value, { coldJunction })]
          : [];
        for (const outcome of outcomes) {
          const numbers = outcome.ok ? Object.values(outcome.value) : [0];
          expect(numbers.every((number) => Number.isFinite(number))).toBe(true);
        }
      }),
      { seed: 43, numRuns },
    );
  });
});
