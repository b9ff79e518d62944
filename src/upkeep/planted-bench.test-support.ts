import { seededGenerator, type Generator } from "#numerics";
import { signalOf, type Sensor } from "#thermometry";

/**
 * A source with two thermometers, as physics and not as the evaluation sees it: everything is planted, and the readings are
 * made from it one by one. Temperatures in °C, differences in K, lengths in mm, times in s.
 */
export interface Planted {
  readonly temperature: number;
  readonly ambient: number;
  /** Temperature of the source over time, less the nominal. */
  readonly course: (time: number) => number;
  /** What a place has more than the bottom of the first well. */
  readonly axial: (height: number) => number;
  readonly wells: Readonly<Record<string, number>>;
  readonly loading: number;
  /** The moved thermometer: constant error, drift in K/s, share lost at no depth and length of its stem. */
  readonly moved: { readonly error: number; readonly drift: number; readonly stem: number; readonly length: number };
  readonly fixed: { readonly error: number };
  /** Standard deviation of one reading, and of coming back to a place. */
  readonly noise: number;
  readonly placing: number;
  /** What the source's own display shows more than its well: rising, falling. */
  readonly control: { readonly error: number; readonly hysteresis: number };
}

export const plantedBench = (seed: number, over: (generator: Generator) => Partial<Planted> = () => ({})): Planted => {
  const generator = seededGenerator(seed).fork("planted");
  const uniform = (a: number) => (2 * generator.next() - 1) * a;
  const drift = uniform(0.05) / 3600;
  const phase = generator.next() * 2 * Math.PI;
  const amplitude = 0.005 + 0.02 * generator.next();
  const slope = uniform(0.1) / 40;
  const curve = uniform(0.05) / 1600;
  return {
    temperature: 200,
    ambient: 23,
    course: (time) => drift * time + amplitude * Math.sin((2 * Math.PI * time) / 700 + phase),
    axial: (height) => slope * height + curve * height ** 2,
    wells: { "1": 0, "2": uniform(0.06), "3": uniform(0.06) },
    loading: uniform(0.08),
    moved: { error: uniform(0.05), drift: uniform(0.004) / 3600, stem: 0, length: 15 },
    fixed: { error: uniform(0.02) },
    noise: 0.002,
    placing: 0.002,
    control: { error: uniform(0.3), hysteresis: uniform(0.1) },
    ...over(generator.fork("over")),
  };
};

export interface Stay {
  readonly start: number;
  readonly length: number;
  readonly every: number;
  readonly well?: string;
  readonly height?: number;
  readonly depth?: number;
  readonly loaded?: boolean;
  readonly direction?: "rising" | "falling";
}

/** Reads both thermometers and the display through one stay; the moved one was put there with the scatter of placing. */
export const readStay = (planted: Planted, stay: Stay, generator: Generator) => {
  const time: number[] = [];
  const fixed: number[] = [];
  const moved: number[] = [];
  const control: number[] = [];
  const placed = planted.placing * generator.normal();
  const { start, length, every, well = "1", height = 0, depth, loaded = false, direction } = stay;
  for (let at = start; at <= start + length; at += every) {
    const bottom = planted.temperature + planted.course(at);
    const there = bottom + planted.axial(height) + planted.wells[well]! + (loaded ? planted.loading : 0);
    const lost =
      depth === undefined
        ? 0
        : planted.moved.stem * Math.exp(-depth / planted.moved.length) * (planted.ambient - there);
    const swing = direction === undefined ? 0 : direction === "falling" ? 1 : -1;
    time.push(at);
    fixed.push(bottom + planted.fixed.error + planted.noise * generator.normal());
    moved.push(
      there + lost + placed + planted.moved.error + planted.moved.drift * at + planted.noise * generator.normal(),
    );
    control.push(bottom + planted.control.error + swing * planted.control.hysteresis);
  }
  return { time, fixed, moved, control };
};

export const displayThermometer = (id: string) => ({
  id,
  sensor: { kind: "indication" as const },
  unit: "°C" as const,
  resolution: 0.0001,
});

/** A platinum reference as a kit entry states it; invented. */
export const standardPlatinumEntry = (sensor: Sensor = callendar) => ({
  id: "prt-7",
  description: "Reference thermometer, 100 Ω, 6 mm",
  serial: "CV-0107",
  sensor,
  unit: "Ω" as const,
  range: { minimum: -40, maximum: 420 },
  calibration: {
    certificate: "CVC-2026-0107",
    laboratory: "Calder Vale Calibration",
    date: "2026-01-10",
    due: "2027-01-10",
    uncertainty: 0.01,
    k: 2,
  },
  driftPerYear: 0.02,
  interpolation: 0,
  selfHeating: 0.005,
});

export const callendar: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};

export const sourceEntry = {
  id: "block-2",
  description: "Dry block to 400 °C",
  serial: "CV-0202",
  class: "dry-block" as const,
  range: { minimum: 30, maximum: 400 },
  stability: 0.05,
  axial: 0.3,
  radial: 0.1,
  loading: 0.1,
};

export const ohmsAt = (sensor: Sensor, temperature: number): number => {
  const converted = signalOf(sensor, temperature);
  if (!converted.ok) throw new RangeError(converted.fault.message);
  return converted.value.signal;
};

/** Share of seeded trials in which the planted figure lies within what was stated. */
export const shareOf = (trials: number, covers: (seed: number) => boolean): number => {
  let covered = 0;
  for (let seed = 1; seed <= trials; seed += 1) if (covers(seed)) covered += 1;
  return covered / trials;
};
