import { polynomialValue } from "#numerics";
import type { SignalUnit } from "#quantity";
import type { Sensor } from "#thermometry";
import type { BenchPlan, PlannedItem } from "./bench-plan.ts";
import { throughCircuit } from "./circuit-faults.ts";
import { accuracyRow, itemDisturbance, readoutError, referenceError, type HiddenTruth } from "./hidden-truth.ts";
import { indicationError, sensorSignal, type InputSignal } from "./item-response.ts";
import type { FaultBoard } from "./live-faults.ts";
import type { Motion, MovingItem } from "./motion.ts";
import { whiteNoise } from "./noise.ts";

/** White noise of one reading: a fixed part and a part of the value, in the unit of the channel. Invented, plausible. */
const readoutNoise: Readonly<Record<SignalUnit, readonly [number, number]>> = {
  Ω: [0.000_05, 1.5e-6],
  mV: [0.0003, 2e-6],
  mA: [0.000_15, 3e-6],
  "°C": [0.003, 0],
};

/** One digit where the kit states none. */
const readoutResolution: Readonly<Record<SignalUnit, number>> = { Ω: 0.0001, mV: 0.0001, mA: 0.0001, "°C": 0.01 };

export const quantise = (value: number, digit: number) => (digit > 0 ? Math.round(value / digit) * digit : value);

/** What a trim does to the indication at a temperature, K: zero at the lower end, span more over the range. */
export const trimError = ({ item, trims }: MovingItem, temperature: number, at: number): number => {
  const { zero, span } = trims.findLast(({ from }) => from <= at) ?? trims[0]!;
  const x = item.span === null ? 0 : (temperature - item.span.lower) / (item.span.upper - item.span.lower);
  return zero + span * x;
};

/** Surroundings in which an item has its own error and no more, °C. */
const referenceAmbient = 23;

export interface ChannelSignals {
  ofItem(moving: MovingItem): InputSignal;
  /** `element`: its own temperature where it is not in the source; `heating`: by how much its current warms it, K. */
  ofReference(element?: number, heating?: number): InputSignal;
  /** Another probe is connected as the reference, with the error that the first had. */
  fitReference(sensor: Sensor): void;
  ofJunction(channel: string): InputSignal;
  /** An item's and the reference's signal at a temperature of their own, with their errors, without noise and faults. */
  quietItem(moving: MovingItem, element: number): InputSignal;
  quietReference(element: number): InputSignal;
  /** What is taken for the temperature of an item's reference junction, °C, without noise. */
  quietJunction(item: PlannedItem): number;
  /** What faults of the wiring make of a signal on its way to the readout. */
  throughWiring(channel: string, unit: SignalUnit, signal: InputSignal): InputSignal;
  /** What the readout makes of it: its hidden error where `byReadout`, noise, resolution. */
  throughReadout(channel: string, unit: SignalUnit, signal: InputSignal, byReadout: boolean): InputSignal;
}

/** The way of a temperature to the number on a channel, one stage after the other. */
export const channelSignals = (options: {
  readonly plan: BenchPlan;
  readonly truth: HiddenTruth;
  readonly motion: Motion;
  readonly faults: FaultBoard;
  readonly noise: Partial<Record<SignalUnit, number | undefined>>;
  readonly flicker: number;
}): ChannelSignals => {
  const { plan, truth, motion, faults } = options;
  const rows = plan.kit.readout.accuracy;
  let fitted: Sensor = plan.reference.sensor;

  const driftOn = (channel: string): number => {
    const fault = faults.active("drift", channel, motion.now());
    return fault === undefined ? 0 : (fault.kelvinPerHour * (motion.now() - fault.at)) / 3600;
  };
  const junctionShare = ({ channel }: PlannedItem) => truth.items[channel]?.junction ?? 0;
  const junctionOf = (item: PlannedItem): number =>
    item.coldJunction.kind === "channel" ? motion.junction() : item.coldJunction.halfWidth * junctionShare(item);

  /** The item's signal with `extra` kelvin on what it shows. */
  const itemSignal = (
    moving: MovingItem,
    element: number,
    connected: PlannedItem["sensor"],
    extra: number,
    junction: number = junctionOf(moving.item),
  ): InputSignal => {
    const { item } = moving;
    const shown =
      element +
      indicationError(item.sensor, item.deviation, element) +
      itemDisturbance(truth, item, element) +
      item.ambientEffect * (motion.source.ambient() - referenceAmbient) +
      trimError(moving, element, motion.now()) +
      extra;
    const signal = sensorSignal(connected, shown, junction);
    if (signal.kind === "beyond" || item.deviation.millivolt === undefined) return signal;
    return { kind: "value", value: signal.value + polynomialValue(item.deviation.millivolt, element) };
  };
  const referenceSignal = (element: number, connected: PlannedItem["sensor"], extra: number): InputSignal =>
    sensorSignal(connected, element + referenceError(truth, plan.kit, plan.years, element) + extra, motion.junction());
  const junctionError = (channel: string): number => {
    const reader = plan.items.find(
      ({ coldJunction }) => coldJunction.kind === "channel" && coldJunction.channel === channel,
    );
    return reader === undefined ? 0 : reader.coldJunction.halfWidth * junctionShare(reader);
  };

  return {
    ofItem(moving) {
      const { channel, noise } = moving.item;
      const time = motion.now();
      const ambient = motion.source.ambient();
      const connected = faults.active("wrong-type", channel, time)?.sensor ?? moving.real;
      const lost = faults.active("shallow", channel, time)?.share ?? 0;
      const element = moving.shown() - lost * (moving.shown() - ambient);
      // A display scatters by itself; what a readout reads gets its noise there.
      const more =
        moving.item.sensor.kind === "indication" ? (faults.active("noise", channel, time)?.deviation ?? 0) : 0;
      const extra = driftOn(channel) + (noise + more) * whiteNoise(moving.whiteSeed, motion.tick());
      const junction = junctionOf(moving.item) + (faults.active("junction-offset", channel, time)?.kelvin ?? 0);
      const circuit = { channel, time, sensor: connected, element, junction, ambient };
      return throughCircuit(faults, circuit, itemSignal(moving, element, connected, extra, junction));
    },
    ofReference(element = motion.reference.element(), heating = 0) {
      const { channel } = plan.reference;
      const connected = faults.active("wrong-type", channel, motion.now())?.sensor ?? fitted;
      return referenceSignal(element + heating, connected, driftOn(channel));
    },
    fitReference(sensor) {
      fitted = sensor;
    },
    quietItem: (moving, element) => itemSignal(moving, element, moving.real, 0),
    quietReference: (element) => referenceSignal(element, fitted, 0),
    quietJunction: ({ coldJunction }) =>
      coldJunction.kind === "channel" ? motion.junction() + junctionError(coldJunction.channel) : 0,
    ofJunction: (channel) => ({
      kind: "value",
      value: motion.junction() + junctionError(channel) + driftOn(channel),
    }),
    throughWiring(channel, unit, signal) {
      if (faults.empty()) return signal;
      const time = motion.now();
      if (faults.active("open-circuit", channel, time) !== undefined) {
        return unit === "mA" ? { kind: "value", value: 0 } : { kind: "beyond", sign: 1 };
      }
      if (signal.kind === "beyond") return signal;
      const reversed = faults.active("reversed", channel, time) !== undefined;
      const lead = unit === "Ω" ? (faults.active("lead-resistance", channel, time)?.ohm ?? 0) : 0;
      // A thermocouple changes sign; a two-wire transmitter fed the wrong way round lets no current pass.
      const sign = reversed && unit === "mV" ? -1 : reversed && unit === "mA" ? 0 : 1;
      return { kind: "value", value: sign * signal.value + lead };
    },
    throughReadout(channel, unit, signal, byReadout) {
      if (signal.kind === "beyond") return signal;
      const { value } = signal;
      const own = motion.noises.get(channel);
      const [fixed, relative] = readoutNoise[unit];
      const usual = options.noise[unit] ?? fixed + relative * Math.abs(value);
      const sd = usual + (faults.empty() ? 0 : (faults.active("noise", channel, motion.now())?.deviation ?? 0));
      const noise =
        own === undefined ? 0 : sd * (whiteNoise(own.whiteSeed, motion.tick()) + options.flicker * own.flicker.value());
      const error = byReadout ? readoutError(truth, rows, unit, value) : 0;
      const digit = accuracyRow(rows, unit, value)?.resolution ?? readoutResolution[unit];
      return { kind: "value", value: quantise(value + error + noise, digit) };
    },
  };
};
