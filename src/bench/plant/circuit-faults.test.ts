import { describe, expect, it } from "vitest";
import { signalOf, temperatureOf, type Sensor } from "#thermometry";
import { throughCircuit, type Circuit } from "./circuit-faults.ts";
import { faultBoard } from "./live-faults.ts";
import { plantOf, typeK, valueOf } from "./plant.test-support.ts";
import { simulatedFaultSchema, type SimulatedFaultInput, type SimulationInput } from "./simulation.ts";

const pt100: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};
const channel = "item-1";

const through = (sensor: Sensor, element: number, fault: SimulatedFaultInput): number => {
  const circuit: Circuit = { channel, time: 10, sensor, element, junction: 25, ambient: 23 };
  const signal = signalOf(sensor, element, sensor.kind === "thermocouple" ? { coldJunction: 25 } : {});
  if (!signal.ok) throw new Error(signal.fault.message);
  const board = faultBoard([simulatedFaultSchema.parse(fault)]);
  return valueOf(throughCircuit(board, circuit, { kind: "value", value: signal.value.signal }));
};
const shown = (sensor: Sensor, signal: number): number => {
  const converted = temperatureOf(sensor, signal, sensor.kind === "thermocouple" ? { coldJunction: 25 } : {});
  return converted.ok ? converted.value.temperature : Number.NaN;
};

describe("what faults of the circuit make of a signal", () => {
  // Head at 45 °C, junction 25 °C, tip 300 °C: computed with IEC 60584-1; common practice.
  it.each([
    ["copper", -19.8],
    ["double-reversal", -39.7],
  ] as const)("%s in a type K is off by %s K at 300 °C", (kind, figure) => {
    const signal = through(typeK, 300, { kind, channel, above: 22, share: 0 });
    expect(shown(typeK, signal) - 300).toBeCloseTo(figure, 0);
  });

  // 100 kΩ beside a Pt100: −0.26 K at 0 °C, −1.26 K at 300 °C (computed).
  it.each([
    [0, -0.26],
    [300, -1.26],
  ])("a leak of 100 kΩ beside a Pt100 at %s °C is %s K", (temperature, figure) => {
    const signal = through(pt100, temperature, { kind: "shunt", channel, kiloohm: 100 });
    expect(shown(pt100, signal) - temperature).toBeCloseTo(figure, 2);
  });

  it("a leak of a thermocouple grows with heat; one of a loop is the same share everywhere", () => {
    const lost = (t: number) => through(typeK, t, { kind: "shunt", channel, kiloohm: 10 });
    const share = (t: number) => {
      const whole = signalOf(typeK, t, { coldJunction: 25 });
      return whole.ok ? whole.value.signal / lost(t) - 1 : Number.NaN;
    };
    expect(share(100)).toBeCloseTo(0.025 * Math.exp(1000 * (1 / 296.15 - 1 / 373.15)), 6);
    expect(share(400)).toBeGreaterThan(2 * share(100));
    const loop: Sensor = { kind: "loop", lower: 0, upper: 150 };
    expect(through(loop, 75, { kind: "shunt", channel, kiloohm: 10 })).toBeCloseTo(12 / 1.025, 9);
  });

  it("a short is a place on the cable, a small resistance, or a failure current", () => {
    expect(shown(typeK, through(typeK, 300, { kind: "short-circuit", channel, above: 4 }))).toBeCloseTo(27, 2);
    expect(through(pt100, 100, { kind: "short-circuit", channel })).toBe(0.5);
    expect(through({ kind: "loop", lower: 0, upper: 150 }, 100, { kind: "short-circuit", channel })).toBe(21.8);
  });

  it("a signal altered by a share and a constant", () => {
    expect(through(pt100, 0, { kind: "altered", channel, percent: 1, add: -0.5 })).toBeCloseTo(100.5, 9);
  });
});

describe("on a bench at rest", () => {
  const standing = (fault: SimulatedFaultInput, more: SimulationInput = {}) => {
    const plant = plantOf({
      hidden: "none",
      source: { class: "furnace", start: 200, controlOffset: 0, oscillation: 0, unsteadiness: 0 },
      junction: { above: 2, wander: 0 },
      items: { "item-1": { deviation: {}, noise: 0 } },
      readout: { noise: { Ω: 1e-9, mV: 1e-9, "°C": 1e-9 }, flicker: 0 },
      faults: [fault],
      ...more,
    });
    plant.setPoint(200);
    plant.switchOutput(true);
    plant.advanceTo(1800);
    return plant;
  };
  const itemShows = (plant: ReturnType<typeof plantOf>): number => shown(typeK, valueOf(plant.read(channel)));

  it("a shallow item loses its share towards ambient", () => {
    const lost = itemShows(standing({ kind: "shallow", channel, share: 0.05 })) - 200;
    expect(lost).toBeCloseTo(-0.05 * (200 - 23), 0);
  });

  it("a junction that is warmer than it is said to be takes its voltage away", () => {
    // S(25 °C)/S(200 °C) of a type K is 40.5/40.0 µV/K (IEC 60584-1): about 10 K for 10 K.
    expect(itemShows(standing({ kind: "junction-offset", channel, kelvin: 10 })) - 200).toBeCloseTo(-10.1, 0);
  });

  it("noise on request scatters, and another channel is read where two are exchanged", () => {
    const noisy = standing({ kind: "noise", channel, deviation: 0.5 });
    const values = Array.from({ length: 100 }, (_, index) => {
      noisy.advanceTo(1800 + index);
      return valueOf(noisy.read(channel));
    });
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    expect(spread).toBeGreaterThan(0.35);
    expect(spread).toBeLessThan(0.75);
    const exchanged = standing({ kind: "swapped", channel, with: "reference" });
    expect(exchanged.read(channel)).toEqual(exchanged.read("reference"));
  });
});
