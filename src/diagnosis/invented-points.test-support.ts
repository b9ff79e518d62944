import { unwrap } from "#fault";
import { signalOf, type Sensor } from "#thermometry";
import { diagnoseBench, type BenchEvidence, type ItemDiagnosis, type ItemEvidence } from "#diagnosis";

export const junction = 25;

export const typeOf = (type: "K" | "J" | "N" | "T" | "E" | "R" | "S" | "B"): Sensor => ({ kind: "thermocouple", type });
export const platinum = (r0 = 100, a = 3.9083e-3, b = -5.775e-7): Sensor => ({
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0,
  a,
  b,
  c: -4.183e-12,
});
/** The older curve with α = 0.003916 (coefficients from memory). */
export const olderPlatinum: Sensor = { ...platinum(100, 3.9739e-3, -5.87e-7), c: -4.4e-12 } as Sensor;

/** What a sensor gives at a temperature; a thermocouple against a junction. */
export const gives = (sensor: Sensor, temperature: number, against = junction): number =>
  unwrap(signalOf(sensor, temperature, sensor.kind === "thermocouple" ? { coldJunction: against } : {})).signal;

export interface InventedItem {
  readonly tag?: string;
  readonly sensor: Sensor;
  readonly signal: (temperature: number) => number;
  readonly scatter?: number;
  readonly still?: boolean;
  readonly ordinary?: (temperature: number) => number;
  readonly junction?: "channel" | "ice-point";
}

export interface InventedBench {
  readonly points: readonly number[];
  readonly items: readonly InventedItem[];
  /** Standard uncertainty of an error, K; half of its square is common to all points. */
  readonly u?: number;
  readonly referenceSensor?: Sensor;
  /** Signal of the reference at a temperature that the source really has. */
  readonly referenceSignal?: (temperature: number) => number;
}

const usualOrdinary = (sensor: Sensor) => (temperature: number) =>
  sensor.kind === "thermocouple"
    ? Math.max(2.5, 0.0075 * Math.abs(temperature))
    : sensor.kind === "platinum"
      ? 0.3 + 0.005 * Math.abs(temperature)
      : 0.5;

const itemOf = (
  { tag = "TT-101", sensor, signal, scatter, still, ordinary = usualOrdinary(sensor), ...item }: InventedItem,
  index: number,
  bench: InventedBench,
): ItemEvidence => {
  const kind = sensor.kind === "thermocouple" ? (item.junction ?? "channel") : null;
  return {
    item: `item-${index + 1}`,
    tag,
    sensor,
    junction: kind,
    junctionName: kind,
    points: bench.points.map((temperature, point) => ({
      point,
      reference: temperature,
      referenceSignal: bench.referenceSignal?.(temperature) ?? null,
      signal: signal(temperature),
      junction: kind === "channel" ? junction : 0,
      scatter: scatter ?? null,
      still: still ?? false,
    })),
    ordinary,
    floor: { thermocouple: 0.0005, platinum: 0.001, loop: 0.003, thermistor: 0.01, indication: 0.01, switch: 1 }[
      sensor.kind
    ],
    reach: { lower: -30, upper: 420 },
  };
};

export const benchOf = (bench: InventedBench): BenchEvidence => {
  const size = bench.points.length * bench.items.length;
  const u = bench.u ?? 0.1;
  return {
    items: bench.items.map((item, index) => itemOf(item, index, bench)),
    covariance: Array.from({ length: size }, (_, row) =>
      Array.from({ length: size }, (__, column) => u * u * (row === column ? 1 : 0.5)),
    ),
    referenceSensor: bench.referenceSensor ?? null,
    ambient: 23,
  };
};

/** What is said of each item. */
export const diagnosed = (bench: InventedBench): readonly ItemDiagnosis[] => diagnoseBench(benchOf(bench), "as-found");

export const firstOf = (bench: InventedBench): ItemDiagnosis => diagnosed(bench)[0]!;

/** The names of what is said together with the first suspicion. */
export const namedIn = ({ suspicions, together }: ItemDiagnosis): string[] =>
  suspicions.slice(0, together).map(({ fault }) => fault);
