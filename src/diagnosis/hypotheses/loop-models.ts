import type { LoopSensor } from "#thermometry";
import { characteristicOf, loopCurrent, type Characteristic } from "./characteristic.ts";
import { logNormal, normal, type SignalModel } from "./signal-model.ts";

/** Ends of ranges that transmitters are set to, °C (common practice, no source). */
const lowerEnds = [-200, -100, -50, -40, -30, -20, -10, 0, 10, 20, 50, 100] as const;
const upperEnds = [40, 50, 60, 80, 100, 120, 150, 160, 180, 200, 250, 300, 350, 400, 450, 500, 600, 800, 1000, 1200];

const fahrenheit = (celsius: number): number => ((celsius - 32) * 5) / 9;

interface Range {
  readonly words: string;
  readonly lower: number;
  readonly upper: number;
  readonly share: number;
}

/** Ranges that may be set in place of the one in the job. Sharing one end with it is the commoner slip. */
const otherRanges = ({ lower, upper }: LoopSensor): Range[] => {
  const ends = lowerEnds.flatMap((low) => upperEnds.map((high) => [low, high] as const));
  const others = [
    ...ends,
    ...lowerEnds.map((low) => [low, upper] as const),
    ...upperEnds.map((high) => [lower, high] as const),
  ]
    .filter(([low, high]) => high - low >= 30 && !(low === lower && high === upper))
    .map(([low, high]) => ({
      words: `${low} °C to ${high} °C`,
      lower: low,
      upper: high,
      share: low === lower || high === upper ? 8 : 1,
    }));
  const ranges = new Map(others.map((range) => [range.words, range]));
  const inFahrenheit = {
    words: `${lower} to ${upper} read as °F`,
    lower: fahrenheit(lower),
    upper: fahrenheit(upper),
    share: 8,
  };
  const turned = { words: `turned round, ${upper} °C at 4 mA`, lower: upper, upper: lower, share: 4 };
  const all = [...ranges.values(), inFahrenheit, turned];
  const whole = all.reduce((sum, { share }) => sum + share, 0);
  return all.map((range) => ({ ...range, share: range.share / whole }));
};

const rangeModels = (sensor: LoopSensor): SignalModel[] =>
  otherRanges(sensor).map(({ words, lower, upper, share }) => {
    const other: LoopSensor = { kind: "loop", lower, upper, ...(sensor.current && { current: sensor.current }) };
    return {
      fault: "wrong-range",
      variant: words,
      weight: 0.008 * share,
      parameters: [],
      predict: ({ reference, offset }) => loopCurrent(other, reference + offset),
    };
  });

/** Faults of the sensor behind the transmitter, as the transmitter tells them. */
export const throughLoop = (loop: LoopSensor, inner: Characteristic, models: readonly SignalModel[]): SignalModel[] =>
  models.map((model) => ({
    ...model,
    predict: (place, values) => {
      const junction = place.ambient;
      const temperature = inner.temperature(model.predict({ ...place, junction }, values), junction);
      return Number.isFinite(temperature) ? loopCurrent(loop, temperature) : Number.NaN;
    },
  }));

/** What a transmitter's current would be, mA, by each fault of it and its loop. */
export const loopModels = (sensor: LoopSensor, ordinary: number): SignalModel[] => {
  const span = Math.abs(sensor.upper - sensor.lower);
  const own = characteristicOf(sensor);
  const size = Math.max(4 * ordinary, 0.02 * span);
  return [
    ...rangeModels(sensor),
    {
      fault: "zero-shift",
      variant: "",
      weight: 0.005,
      parameters: [normal("shift", "K", 0, size)],
      predict: ({ reference, offset }, [shift]) => own.signal(reference + offset + shift!, 0),
    },
    {
      fault: "span-error",
      variant: "",
      weight: 0.005,
      parameters: [normal("change over the whole range", "K", 0, size)],
      predict: ({ reference, offset }, [change]) =>
        own.signal(
          reference + offset + (change! * (reference + offset - sensor.lower)) / (sensor.upper - sensor.lower),
          0,
        ),
    },
    {
      // Part of the current goes round the meter.
      fault: "shunt",
      variant: "",
      weight: 0.003,
      parameters: [logNormal("share of the current that goes another way", "%", 1.5, 2.5)],
      predict: ({ reference, offset }, [leak]) => own.signal(reference + offset, 0) * (1 - Math.min(0.95, leak! / 100)),
    },
    {
      fault: "open-circuit",
      variant: "",
      weight: 0.003,
      parameters: [],
      predict: () => 0,
      slack: 0.05,
    },
    ...(
      [
        ["low", 3.55, 0.06],
        ["high", 21.6, 0.3],
      ] as const
    ).map(([variant, level, slack]): SignalModel => ({
      fault: "failure-signal",
      variant,
      weight: 0.003,
      parameters: [normal("failure current", "mA", level, slack)],
      predict: (_, [current]) => current!,
    })),
  ];
};
