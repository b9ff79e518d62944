import type { Sensor } from "#thermometry";
import { planBench, type BenchPlan, type PlantOptions } from "./bench-plan.ts";
import { channelSignals, quantise, trimError } from "./channel-signals.ts";
import { drawTruth, noTruth, type HiddenTruth } from "./hidden-truth.ts";
import { trueError, type InputSignal } from "./item-response.ts";
import { faultBoard, type FaultBoard } from "./live-faults.ts";
import { benchMotion } from "./motion.ts";
import { placesOf, type Arrangement } from "./places.ts";
import { undisturbedDifference, type UndisturbedDifference } from "./undisturbed.ts";

/** What a channel shows: a number in the channel's unit, or that it is beyond what the input can measure. */
export type ChannelReading = InputSignal;

export interface Plant {
  /** Integrates up to a time on the run's clock; earlier times are past and change nothing. */
  advanceTo(time: number): void;
  setPoint(temperature: number): void;
  setPointNow(): number;
  switchOutput(on: boolean): void;
  outputOn(): boolean;
  /** The channel at the latest tick. A channel that is wired to nothing is open. */
  read(channel: string): ChannelReading;
  /** What the source's own control sensor shows, through the channel's faults where it is one. */
  control(channel: string): ChannelReading;
  /** A transmitter's or indicator's trims, absolute, K; null for an item that the bench does not have. */
  trims(item: string): { readonly zero: number; readonly span: number } | null;
  trim(item: string, zero: number, span: number): boolean;
  /**
   * The item's true error at a temperature, K: what it would indicate at exactly that temperature, less it; no noise,
   * no resolution, nothing of the kit. `at`: as it was adjusted at that time; now if absent. The item by its identifier or
   * its channel; an unknown one throws.
   */
  truth(item: string, temperature: number, at?: number): number;
  /** An item's difference from the reference without noise and digits, now and at rest; null where a signal is beyond. */
  undisturbed(item: string): UndisturbedDifference | null;
  /** Where a switch really changes at a rate of nought, °C; null for what is none. */
  contact(item: string): { readonly rising: number; readonly falling: number } | null;
  /** What the well of the reference really has, °C. For tests and pictures; no instrument can know it. */
  medium(): number;
  /** Puts the items' probe somewhere else, fills the other wells, or changes the reference's current; what is not said stays. */
  arrange(arrangement: Arrangement): void;
  /** Puts the reference into an ice point, or back into its well in the source. */
  placeReference(where: "source" | "ice-point"): void;
  /** Connects another probe as the reference. */
  fitReference(sensor: Sensor): void;
  /** Power of the heater, W; negative while cooling. */
  power(): number;
  readonly faults: FaultBoard;
  readonly plan: BenchPlan;
  readonly hidden: HiddenTruth;
}

/** How fast a reference follows in an ice point, s; invented, plausible. */
const lagInIce = 12;

/** The physics of a whole bench: source, wells, probes, items, readout. Same options, same commands, same digits. */
export const createPlant = (options: PlantOptions): Plant => {
  const { simulation, channels, seed, startAt } = options;
  const plan = planBench(options);
  const truth = simulation.hidden === "drawn" ? drawTruth(plan.items, seed) : noTruth(plan.items);
  const faults = faultBoard(simulation.faults);
  const places = placesOf(simulation.places);
  const motion = benchMotion({
    plan,
    truth,
    channels: options.noiseless === true ? [] : Object.keys(channels),
    ambient: simulation.ambient,
    junction: simulation.junction,
    seed,
    startAt,
    places,
  });
  const signals = channelSignals({ plan, truth, motion, faults, ...simulation.readout });
  const undisturbed = undisturbedDifference({ plan, truth, motion, signals });
  const { source } = motion;
  const itemNamed = (name: string) => motion.items.find(({ item }) => item.id === name || item.channel === name);
  const knownItem = (name: string) => {
    const moving = itemNamed(name);
    if (moving === undefined) throw new RangeError(`the bench has no item "${name}"`);
    return moving;
  };
  const controlNow = (): ChannelReading => ({ kind: "value", value: quantise(motion.source.control(), 0.01) });

  const readFresh = (asked: string): ChannelReading => {
    const channel = faults.active("swapped", asked, motion.now())?.with ?? asked;
    const wired = channels[channel];
    if (wired === undefined) return { kind: "beyond", sign: 1 };
    const { unit } = wired;
    if (options.sources.includes(wired.instrument)) return controlNow();
    const moving = motion.items.find(({ item }) => item.channel === channel);
    if (unit === "contact") {
      const open = moving?.contact == null || faults.active("open-circuit", channel, motion.now()) !== undefined;
      return { kind: "value", value: !open && moving.contact.closed() ? 1 : 0 };
    }
    if (moving !== undefined) {
      const signal = signals.throughWiring(channel, unit, signals.ofItem(moving));
      if (unit !== "°C") return signals.throughReadout(channel, unit, signal, true);
      const digit = moving.item.indicationResolution;
      return signal.kind === "beyond" ? signal : { kind: "value", value: quantise(signal.value, digit) };
    }
    const { check } = simulation;
    if (check?.channel === channel) return { kind: "value", value: quantise(source.medium() + check.error, 0.01) };
    const isReference = channel === plan.reference.channel;
    if (!isReference && unit !== "°C") return { kind: "beyond", sign: 1 };
    const signal = isReference ? heated(signals.ofReference(elementInIce())) : signals.ofJunction(channel);
    return signals.throughReadout(channel, unit, signals.throughWiring(channel, unit, signal), isReference);
  };

  let inIce: { readonly since: number; readonly from: number } | null = null;
  /** A probe that was put into an ice point, by its first-order response there; undefined for one in the source. */
  const elementInIce = (): number | undefined =>
    inIce === null ? undefined : inIce.from * Math.exp(-(motion.now() - inIce.since) / lagInIce);

  /** The reference warmer by its own current, where somebody set one. */
  const heated = (signal: ChannelReading): ChannelReading => {
    if (signal.kind === "beyond") return signal;
    const heating = places.heating(signal.value);
    return heating === 0 ? signal : signals.ofReference(elementInIce(), heating);
  };

  const held = new Map<string, ChannelReading>();
  const read = (channel: string): ChannelReading => {
    const reading = readFresh(channel);
    if (faults.active("stuck", channel, motion.now()) === undefined) {
      held.delete(channel);
      return reading;
    }
    const first = held.get(channel) ?? reading;
    held.set(channel, first);
    return first;
  };

  return {
    plan,
    arrange: places.arrange,
    placeReference(where) {
      inIce =
        where === "ice-point" ? { since: motion.now(), from: elementInIce() ?? motion.reference.element() } : null;
    },
    fitReference: signals.fitReference,
    faults,
    hidden: truth,
    advanceTo: motion.advanceTo,
    setPoint: source.setPoint,
    setPointNow: source.setPointNow,
    switchOutput: source.switchOutput,
    outputOn: source.outputOn,
    medium: source.medium,
    power: source.power,
    read,
    control: (channel) => (channels[channel] === undefined ? controlNow() : read(channel)),
    trims(name) {
      const latest = itemNamed(name)?.trims.at(-1);
      return latest === undefined ? null : { zero: latest.zero, span: latest.span };
    },
    trim(name, zero, span) {
      const moving = itemNamed(name);
      moving?.trims.push({ from: motion.now(), zero, span });
      return moving !== undefined;
    },
    contact(name) {
      const { contact } = knownItem(name).item;
      return contact === null ? null : { rising: contact.rising, falling: contact.falling };
    },
    undisturbed: (name) => undisturbed(knownItem(name)),
    truth(name, temperature, at = Number.POSITIVE_INFINITY) {
      const moving = knownItem(name);
      const { sensor, deviation } = moving.item;
      return trueError(sensor, deviation, temperature) + trimError(moving, temperature, at);
    },
  };
};
