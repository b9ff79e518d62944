import { expect, it } from "vitest";
import { seededGenerator } from "#numerics";
import type { Sensor } from "#thermometry";
import { drawDeviation, indicationError, realSensor, sensorSignal, trueError } from "./item-response.ts";

const typeK: Sensor = { kind: "thermocouple", type: "K" };
const pt100: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};
const loop: Sensor = { kind: "loop", lower: 0, upper: 150 };

it.each([
  [0, 39.45],
  [100, 41.37],
  [400, 42.24],
  [1000, 38.98],
])(
  "a type K that gives 10 µV too much at %s °C is off by 10 µV over its Seebeck coefficient",
  (temperature, seebeck) => {
    // Seebeck coefficients of NIST SRD 60, as printed to two decimals.
    expect(trueError(typeK, { millivolt: [0.01] }, temperature)).toBeCloseTo(10 / seebeck, 3);
  },
);

it.each([
  [0, 1],
  [100, 1.43],
  [300, 2.3],
  [600, 3.8],
])(
  "a Pt100 whose R0 has shifted is off like W over its slope: at %s °C %s times the ice value",
  (temperature, factor) => {
    const ratio = trueError(pt100, { r0: 0.02 }, temperature) / trueError(pt100, { r0: 0.02 }, 0);
    expect(Math.abs(ratio - factor)).toBeLessThan(0.04);
  },
);

it("a transmitter's zero, span and linearity are what they are called", () => {
  const deviation = { zero: 0.3, span: -0.5, linearity: 0.1 };
  expect(trueError(loop, deviation, 0)).toBeCloseTo(0.3, 12);
  expect(trueError(loop, deviation, 150)).toBeCloseTo(-0.2, 12);
  expect(trueError(loop, deviation, 75)).toBeCloseTo(0.3 - 0.25 + 0.1, 12);
});

it("a polynomial in kelvin is the error itself, whatever the sensor", () => {
  for (const sensor of [typeK, pt100, loop, { kind: "indication" } as const]) {
    expect(trueError(sensor, { kelvin: [0.2, 0.001] }, 80)).toBeCloseTo(0.28, 9);
    expect(indicationError(sensor, { kelvin: [0.2, 0.001] }, 80)).toBeCloseTo(0.28, 12);
  }
});

it("signals are those of the published functions", () => {
  // NIST SRD 60: type K, 100 °C, 4.096 mV. IEC 60751: 100 °C, 138.51 Ω.
  expect(sensorSignal(typeK, 100, 0)).toMatchObject({ value: expect.closeTo(4.096, 3) });
  expect(sensorSignal(pt100, 100, 0)).toMatchObject({ value: expect.closeTo(138.51, 2) });
  expect(sensorSignal(realSensor(pt100, { r0: 0.1 }), 0, 0)).toEqual({ kind: "value", value: 100.1 });
  expect(sensorSignal(loop, 75, 0)).toEqual({ kind: "value", value: 12 });
});

it("a transmitter saturates as NAMUR NE 43 says; a thermocouple beyond its range gives no number", () => {
  expect(sensorSignal(loop, 400, 0)).toEqual({ kind: "value", value: 20.5 });
  expect(sensorSignal(loop, -400, 0)).toEqual({ kind: "value", value: 3.8 });
  expect(sensorSignal(typeK, 2000, 0)).toEqual({ kind: "beyond", sign: 1 });
});

it.each([typeK, pt100, loop])(
  "a drawn deviation is small, differs from seed to seed, and is kept by the seed: %o",
  (sensor) => {
    const errors = Array.from({ length: 200 }, (_, seed) =>
      trueError(sensor, drawDeviation(sensor, seededGenerator(seed)), 100),
    );
    expect(new Set(errors).size).toBe(200);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(3);
    expect(drawDeviation(sensor, seededGenerator(3))).toEqual(drawDeviation(sensor, seededGenerator(3)));
  },
);
