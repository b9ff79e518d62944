import type { ChannelUnit } from "#quantity";
import { seededGenerator, type Generator } from "#numerics";
import type { Sensor } from "#thermometry";
import { drawContact, type ContactModel } from "./contact.ts";
import { drawDeviation } from "./item-response.ts";
import type { ProbeModel } from "./probe.ts";
import type { ItemDeviation, Simulation } from "./simulation.ts";
import { probeLags, sourceModels, type ProbeKind, type SourceClass, type SourceModel } from "./source-classes.ts";
import { daysBetween, type StatedColdJunction, type StatedItem, type StatedKit } from "./stated-kit.ts";

/** A channel as the bench is wired. */
export interface WiredChannel {
  readonly instrument: string;
  readonly input: number;
  readonly unit: ChannelUnit;
}

export interface PlantOptions {
  readonly simulation: Simulation;
  readonly channels: Readonly<Record<string, WiredChannel>>;
  /** Instruments that are the heat source itself: their channels read its control sensor. */
  readonly sources: readonly string[];
  readonly kit?: StatedKit | undefined;
  readonly items?: readonly StatedItem[] | undefined;
  readonly seed: number;
  /** Time at which the plant begins, s on the run's clock. */
  readonly startAt: number;
  /** Day of the run, year-month-day: the reference has drifted since its calibration. Half a year where nothing is said. */
  readonly day?: string | undefined;
  /** Leaves the readout's noise out: quicker, for who asks only for the truth. */
  readonly noiseless?: boolean | undefined;
}

export interface PlannedItem {
  readonly id: string;
  readonly channel: string;
  readonly sensor: Sensor;
  readonly deviation: ItemDeviation;
  readonly probe: ProbeModel;
  readonly damping: number;
  readonly noise: number;
  /** K of indication for each K that the surroundings are away from `referenceAmbient`. */
  readonly ambientEffect: number;
  /** Null for what is no switch. */
  readonly contact: ContactModel | null;
  readonly coldJunction: StatedColdJunction;
  readonly contributions: StatedItem["contributions"];
  readonly indicationResolution: number;
  readonly span: { readonly lower: number; readonly upper: number } | null;
}

/** Everything about the bench decided, before anything moves. */
export interface BenchPlan {
  readonly source: SourceModel;
  readonly start: number;
  readonly controlOffset: number | null;
  /** K/s. */
  readonly ambientDrift: number;
  readonly wellCreep: { readonly share: number; readonly lag: number };
  readonly roughnessFromKit: boolean;
  readonly kit: StatedKit;
  readonly years: number;
  readonly reference: { readonly channel: string; readonly sensor: Sensor; readonly probe: ProbeModel };
  readonly items: readonly PlannedItem[];
  readonly junctionChannel: string | null;
}

/** Platinum to IEC 60751:2022, 100 Ω: what is connected where nobody says what is. */
const plainPlatinum: Sensor = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};

const sensorForUnit: Readonly<Record<ChannelUnit, Sensor>> = {
  Ω: plainPlatinum,
  mV: { kind: "thermocouple", type: "K" },
  mA: { kind: "loop", lower: 0, upper: 150 },
  "°C": { kind: "indication" },
  contact: { kind: "switch", onRise: "opens", trip: 60, tripsOn: "rising", deadBand: { minimum: 2, maximum: 6 } },
};

const itemNoise: Readonly<Record<Sensor["kind"], number>> = {
  thermocouple: 0.004,
  platinum: 0.0015,
  thermistor: 0.001,
  loop: 0.005,
  indication: 0.003,
  switch: 0.002,
};

const probeKind = (sensor: Sensor): ProbeKind =>
  sensor.kind === "thermocouple" || sensor.kind === "platinum" || sensor.kind === "loop" ? sensor.kind : "other";

/** A kit that states nothing but what it is: every hidden figure of it is nought. */
const plainKit = (sourceClass: SourceClass, channel: string, sensor: Sensor): StatedKit => {
  const { minimum, maximum } = sourceModels[sourceClass];
  return {
    reference: {
      sensor,
      channel,
      calibration: { date: "2026-01-01", uncertainty: 0, k: 2 },
      driftPerYear: 0,
      interpolation: 0,
      selfHeating: 0,
    },
    readout: { accuracy: [] },
    source: { class: sourceClass, range: { minimum, maximum }, stability: 0, axial: 0, radial: 0, loading: 0 },
  };
};

const contactModel = (
  sensor: Sensor,
  said: Simulation["items"][string]["contact"],
  generator: Generator,
): ContactModel | null => {
  if (sensor.kind !== "switch") return null;
  return said === undefined ? drawContact(sensor, generator) : { onRise: sensor.onRise, ...said };
};

const planItem = (
  channel: string,
  stated: StatedItem | undefined,
  { simulation, channels, seed }: PlantOptions,
  sourceClass: SourceClass,
): PlannedItem => {
  const said = simulation.items[channel] ?? {};
  const sensor = said.sensor ?? stated?.sensor ?? sensorForUnit[channels[channel]?.unit ?? "Ω"];
  const own = seededGenerator(seed).fork(`deviation of ${channel}`);
  return {
    id: stated?.id ?? channel,
    channel,
    sensor,
    deviation: said.deviation ?? drawDeviation(sensor, own),
    probe: {
      lags: said.lags ?? probeLags[sourceClass][probeKind(sensor)],
      looseFit: said.looseFit,
      stemLoss: said.stemLoss ?? 0,
    },
    damping: said.damping ?? (sensor.kind === "loop" ? 1 : 0),
    noise: said.noise ?? itemNoise[sensor.kind],
    ambientEffect: said.ambientEffect ?? 0,
    contact: contactModel(sensor, said.contact, own),
    coldJunction: stated?.coldJunction ?? { kind: "ice-point", halfWidth: 0 },
    contributions: stated?.contributions ?? {},
    indicationResolution: stated?.indicationResolution ?? 0,
    span: sensor.kind === "loop" ? { lower: sensor.lower, upper: sensor.upper } : (stated?.range ?? null),
  };
};

const junctionChannelOf = (options: PlantOptions, taken: ReadonlySet<string>): string | null => {
  const named =
    options.simulation.junction.channel ??
    options.items?.flatMap(({ coldJunction }) => (coldJunction?.kind === "channel" ? [coldJunction.channel] : []))[0];
  if (named !== undefined) return named;
  const free = Object.entries(options.channels).find(
    ([name, { unit, instrument }]) => unit === "°C" && !taken.has(name) && !options.sources.includes(instrument),
  );
  return free?.[0] ?? null;
};

/** Puts together what the simulation says, what the job says, and defaults for the rest. The simulation has the last word. */
export const planBench = (options: PlantOptions): BenchPlan => {
  const { simulation, channels, items = [] } = options;
  const sourceClass = simulation.source.class ?? options.kit?.source.class ?? "dry-block";
  const model = sourceModels[sourceClass];
  const { blockCapacity, heating, cooling, oscillation, period, unsteadiness } = simulation.source;
  const channel = simulation.reference.channel ?? options.kit?.reference.channel ?? "reference";
  const sensor =
    simulation.reference.sensor ?? options.kit?.reference.sensor ?? sensorForUnit[channels[channel]?.unit ?? "Ω"];
  const kit = options.kit ?? plainKit(sourceClass, channel, sensor);
  const itemChannels = [...new Set([...items.map((item) => item.channel), ...Object.keys(simulation.items)])];
  return {
    source: {
      ...model,
      masses: { ...model.masses, blockCapacity: blockCapacity ?? model.masses.blockCapacity },
      heating: heating ?? model.heating,
      cooling: cooling ?? model.cooling,
      oscillation: oscillation ?? model.oscillation,
      period: period ?? model.period,
      unsteadiness: unsteadiness ?? model.unsteadiness,
    },
    start: simulation.source.start ?? simulation.ambient,
    controlOffset: simulation.source.controlOffset ?? null,
    ambientDrift: simulation.ambientDrift / 3600,
    wellCreep: simulation.source.wellCreep ?? { share: 0, lag: 0 },
    roughnessFromKit: options.kit !== undefined && oscillation === undefined && unsteadiness === undefined,
    kit,
    years:
      options.day === undefined ? 0.5 : Math.max(0, daysBetween(kit.reference.calibration.date, options.day) / 365.25),
    reference: {
      channel,
      sensor,
      probe: {
        lags: simulation.reference.lags ?? probeLags[sourceClass].reference,
        looseFit: simulation.reference.looseFit,
        stemLoss: simulation.reference.stemLoss ?? 0,
      },
    },
    items: itemChannels.map((name) =>
      planItem(
        name,
        items.find((item) => item.channel === name),
        options,
        sourceClass,
      ),
    ),
    junctionChannel: junctionChannelOf(options, new Set([channel, ...itemChannels])),
  };
};
