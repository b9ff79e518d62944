import type { SimulationInput, SimulatedFaultInput } from "#bench";
import { toleranceAt, type Job } from "#calibration";
import type { FaultName } from "#diagnosis";
import { seededGenerator, type Generator } from "#numerics";
type Sensor = Extract<SimulatedFaultInput, { kind: "wrong-type" }>["sensor"];
import { studyJob, type StudyJob, type StudyKind } from "./study-job.ts";

/** A fault on the simulated bench, drawn from a seed. */
export interface StudyCase {
  readonly name: string;
  readonly truth: FaultName;
  readonly job: (random: Generator) => StudyJob;
  readonly faults: (random: Generator) => readonly SimulatedFaultInput[];
  /** Error of the item itself, K, beyond an ordinary one: zero and span of a transmitter or indicator. */
  readonly own?: (random: Generator) => readonly number[];
}

const between = (random: Generator, low: number, high: number): number => low + (high - low) * random.next();
const either = (random: Generator, low: number, high: number): number =>
  (random.next() < 0.5 ? -1 : 1) * between(random, low, high);
const oneOf = <T>(random: Generator, all: readonly T[]): T => all[Math.floor(random.next() * all.length)]!;

const channel = "item-1";
const alone = (kind: StudyKind) => () => ({ kinds: [kind] });
const platinum = (r0: number, a = 3.9083e-3, b = -5.775e-7): Sensor => ({
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0,
  a,
  b,
  c: -4.183e-12,
});
const connected = (
  kind: StudyKind,
  truth: FaultName,
  sensor: (random: Generator) => Sensor,
  name = truth as string,
) => ({
  name: `${kind}: ${name}`,
  truth,
  job: alone(kind),
  faults: (random: Generator) => [{ kind: "wrong-type", channel, sensor: sensor(random) } as SimulatedFaultInput],
});
const simple = (
  kind: StudyKind,
  truth: FaultName,
  fault: (random: Generator) => SimulatedFaultInput,
  name = truth as string,
): StudyCase => ({ name: `${kind}: ${name}`, truth, job: alone(kind), faults: (random) => [fault(random)] });

const head = (random: Generator) => ({ above: between(random, 8, 25), share: between(random, 0.01, 0.06) });

/** Ways in which any kind of item goes wrong. `noise`: standard deviation in the unit of the channel. */
const anyKind = (kind: StudyKind, noise: readonly [number, number]): StudyCase[] => [
  { name: `${kind}: healthy`, truth: "healthy", job: alone(kind), faults: () => [] },
  simple(kind, "immersion", (random) => ({ kind: "shallow", channel, share: between(random, 0.03, 0.1) })),
  simple(kind, "stuck", () => ({ kind: "stuck", channel })),
  simple(kind, "noise", (random) => ({ kind: "noise", channel, deviation: between(random, ...noise) })),
];

const thermocouples: StudyCase[] = [
  ...anyKind("thermocouple", [0.25, 0.8]),
  simple("thermocouple", "reversed", () => ({ kind: "reversed", channel })),
  simple("thermocouple", "double-reversal", (random) => ({ kind: "double-reversal", channel, ...head(random) })),
  simple("thermocouple", "copper-in-circuit", (random) => ({ kind: "copper", channel, ...head(random) })),
  {
    ...connected("thermocouple", "wrong-type", (random) => ({
      kind: "thermocouple",
      type: oneOf(random, ["J", "N", "E", "R", "S"] as const),
    })),
  },
  {
    name: "thermocouple: wrong-type, any pair",
    truth: "wrong-type",
    job: (random) => {
      const type = oneOf(random, ["J", "N", "E", "T", "R", "S"] as const);
      const points = type === "T" ? [30, 80, 150, 220, 300] : [30, 100, 200, 300, 400];
      return { kinds: ["thermocouple"], changes: [{ sensor: { kind: "thermocouple", type } }], points };
    },
    faults: () => [{ kind: "wrong-type", channel, sensor: { kind: "thermocouple", type: "K" } }],
  },
  simple("thermocouple", "junction-offset", (random) => ({
    kind: "junction-offset",
    channel,
    kelvin: either(random, 6, 15),
  })),
  {
    name: "thermocouple: junction-not-compensated",
    truth: "junction-not-compensated",
    job: () => ({ kinds: ["thermocouple"], changes: [{ coldJunction: { kind: "ice-point", halfWidth: 0.05 } }] }),
    faults: (random) => [{ kind: "junction-offset", channel, kelvin: between(random, 21, 27) }],
  },
  simple("thermocouple", "span-error", (random) => ({
    kind: "altered",
    channel,
    percent: either(random, 3, 8),
  })),
  simple("thermocouple", "shunt", (random) => ({ kind: "shunt", channel, kiloohm: between(random, 5, 20) })),
  simple("thermocouple", "short-circuit", (random) => ({
    kind: "short-circuit",
    channel,
    above: between(random, -3, 10),
  })),
];

const resistances: StudyCase[] = [
  ...anyKind("platinum", [0.4, 1.5]),
  connected("platinum", "wrong-alpha", () => platinum(100, 3.9739e-3, -5.87e-7)),
  connected("platinum", "wrong-nominal", () => platinum(1000)),
  {
    ...connected("platinum", "wrong-nominal", () => platinum(100), "Pt100 for Pt1000"),
    job: () => ({ kinds: ["platinum"], changes: [{ sensor: platinum(1000) }] }),
  },
  simple("platinum", "resistance-shift", (random) => ({ kind: "altered", channel, percent: either(random, 0.8, 2.5) })),
  simple("platinum", "lead-resistance", (random) => ({ kind: "lead-resistance", channel, ohm: between(random, 1, 5) })),
  simple("platinum", "unequal-leads", (random) => ({ kind: "altered", channel, add: -between(random, 0.8, 2) })),
  simple("platinum", "shunt", (random) => ({ kind: "shunt", channel, kiloohm: between(random, 5, 25) })),
  simple("platinum", "short-circuit", (random) => ({ kind: "short-circuit", channel, ohm: between(random, 0.1, 2) })),
];

const otherRange = (random: Generator): Sensor => {
  const [lower, upper] = oneOf(random, [
    [0, 200],
    [0, 100],
    [-50, 150],
    [50, 150],
    [-20, 120],
    [-17.78, 65.56],
    [0, 300],
  ]);
  return { kind: "loop", lower: lower!, upper: upper! };
};

const transmitters: StudyCase[] = [
  ...anyKind("transmitter", [0.15, 0.6]),
  connected("transmitter", "wrong-range", otherRange),
  {
    ...simple("transmitter", "zero-shift", () => ({ kind: "drift", channel, kelvinPerHour: 0 })),
    faults: () => [],
    own: (random) => [either(random, 2.5, 8)],
  },
  {
    name: "transmitter: span-error",
    truth: "span-error",
    job: alone("transmitter"),
    faults: () => [],
    own: (random) => [0, either(random, 3, 9) / 150],
  },
  simple("transmitter", "shunt", (random) => ({ kind: "shunt", channel, kiloohm: between(random, 5, 15) })),
  simple("transmitter", "failure-signal", () => ({ kind: "short-circuit", channel })),
  simple("transmitter", "open-circuit", () => ({ kind: "open-circuit", channel })),
];

const indicators: StudyCase[] = [
  ...anyKind("indicator", [1.5, 5]),
  {
    name: "indicator: zero-shift",
    truth: "zero-shift",
    job: alone("indicator"),
    faults: () => [],
    own: (random) => [either(random, 3, 9)],
  },
  {
    name: "indicator: span-error",
    truth: "span-error",
    job: alone("indicator"),
    faults: () => [],
    own: (random) => [0, either(random, 0.025, 0.06)],
  },
];

/** Faults that concern several items at once: two in one block. */
const benches: StudyCase[] = [
  {
    name: "two items: healthy",
    truth: "healthy",
    job: () => ({ kinds: ["platinum", "thermocouple"], points: [0, 50, 100, 150, 200] }),
    faults: () => [],
  },
  {
    name: "two items: reference-alpha",
    truth: "reference-alpha",
    job: () => ({ kinds: ["platinum", "platinum"] }),
    faults: () => [{ kind: "wrong-type", channel: "reference", sensor: platinum(100.012, 3.9739e-3, -5.87e-7) }],
  },
  {
    name: "two items: reference-coefficients",
    truth: "reference-coefficients",
    job: () => ({ kinds: ["platinum", "platinum"] }),
    faults: (random) => [
      {
        kind: "wrong-type",
        channel: "reference",
        sensor: platinum(100.012 * (1 + either(random, 0.006, 0.012)), 3.9085e-3 * (1 + either(random, 0.002, 0.005))),
      },
    ],
  },
  {
    name: "two items: swapped",
    truth: "swapped",
    job: () => ({
      kinds: ["thermocouple", "thermocouple"],
      changes: [{}, { sensor: { kind: "thermocouple", type: "J" } }],
    }),
    faults: () => [
      { kind: "swapped", channel: "item-1", with: "item-2" },
      { kind: "swapped", channel: "item-2", with: "item-1" },
    ],
  },
];

export const studyCases: readonly StudyCase[] = [
  ...thermocouples,
  ...resistances,
  ...transmitters,
  ...indicators,
  ...benches,
];

/**
 * An ordinary error of calibration, K, polynomial in °C: its largest share of the tolerance over the points is drawn evenly from 0
 * to `most`. The shape is a plain polynomial, not the one that the diagnosis assumes.
 */
const ordinaryError = (job: Job, index: number, random: Generator, most: number): number[] => {
  const item = job.items[index]!;
  const points = job.procedure.points.map(({ temperature }) => temperature);
  const size = Math.max(1, ...points.map(Math.abs));
  const shape = [random.normal(), random.normal() / size, random.normal() / size ** 2];
  const errorAt = (t: number): number => shape[0]! + shape[1]! * t + shape[2]! * t * t;
  const largest = Math.max(
    ...points.map((t) => {
      const limits = toleranceAt(item.tolerance, item, t);
      return limits.ok ? Math.abs(errorAt(t)) / limits.value.upper : 0;
    }),
  );
  const share = most * random.next();
  return shape.map((value) => (value * share) / largest);
};

/** A case drawn: the job, and the bench with its fault. */
export const drawCase = (
  { name, truth, job: jobOf, faults, own }: StudyCase,
  seed: number,
  points?: readonly number[],
): { readonly job: Job; readonly simulation: SimulationInput } => {
  const random = seededGenerator(seed).fork(name);
  const asked = jobOf(random.fork("job"));
  const job = studyJob(points === undefined ? asked : { ...asked, points });
  const noisyKit = random.fork("kit").next() < 0.33 ? 10 : 1;
  const wrong = own?.(random.fork("own")) ?? [];
  return {
    job,
    simulation: {
      items: Object.fromEntries(
        job.items.map(({ channel: name_ }, index) => {
          const usual = ordinaryError(job, index, random.fork(`item ${index}`), truth === "healthy" ? 1 : 0.5);
          const kelvin = usual.map((value, power) => value + (index === 0 ? (wrong[power] ?? 0) : 0));
          return [name_, { deviation: { kelvin } }];
        }),
      ),
      readout: {
        noise: { Ω: 0.000_5 * noisyKit, mV: 0.0005 * noisyKit, mA: 0.0005 * noisyKit, "°C": 0.005 * noisyKit },
      },
      faults: [...faults(random.fork("fault"))],
    },
  };
};
