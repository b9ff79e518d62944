import { z } from "zod";
import { thermocoupleTypes, type Sensor } from "#thermometry";
import { sourceClasses } from "./source-classes.ts";

const finite = z.number();
const positive = z.number().positive();
const share = z.number().min(0).max(0.5);
const channel = z.string().regex(/^[A-Za-z0-9][A-Za-z0-9._-]*$/);

const deviations = z.array(z.object({ subrange: z.int().min(1).max(11) }).catchall(finite)).min(1);

const plainSensor = z.union([
  z.strictObject({
    kind: z.literal("thermocouple"),
    type: z.enum(thermocoupleTypes),
    deviation: z.array(finite).optional(),
  }),
  z.strictObject({
    kind: z.literal("platinum"),
    equation: z.literal("its-90"),
    rtpw: positive,
    coefficients: deviations,
  }),
  z.strictObject({
    kind: z.literal("platinum"),
    equation: z.literal("callendar-van-dusen"),
    r0: positive,
    a: finite,
    b: finite,
    c: finite,
  }),
  z.strictObject({
    kind: z.literal("thermistor"),
    equation: z.literal("steinhart-hart"),
    a: finite,
    b: finite,
    c: finite,
    d: finite.optional(),
  }),
  z.strictObject({ kind: z.literal("indication") }),
]);

const sensor = z
  .union([
    plainSensor,
    z.strictObject({
      kind: z.literal("loop"),
      lower: finite,
      upper: finite,
      current: z.tuple([finite, finite]).optional(),
      inner: plainSensor.optional(),
    }),
  ])
  .transform((value): Sensor => value as Sensor);

const lags = z
  .tuple([z.number().nonnegative(), z.number().nonnegative()])
  .describe("time constants of sensing element and sheath in this source, s");
const looseFit = z
  .strictObject({ share, lag: positive })
  .describe("a loose fit: this share of the temperature arrives through a further lag of so many seconds");
const stemLoss = share.describe("share of the difference to ambient that is lost along the stem");

/** How the item really differs from its nominal equation; what is not given is drawn from the seed. */
const deviation = z.strictObject({
  kelvin: z.array(finite).optional().describe("error of the indication, K, polynomial in °C"),
  millivolt: z.array(finite).optional().describe("thermocouples: added to the voltage, mV, polynomial in °C"),
  r0: finite.optional().describe("platinum: added to R(0 °C), Ω"),
  a: finite.optional().describe("platinum: added to the coefficient A, 1/K"),
  zero: finite.optional().describe("transmitters: error at the lower end, K"),
  span: finite.optional().describe("transmitters: further error at the upper end, K"),
  linearity: finite.optional().describe("transmitters: further error in mid range, K"),
});

const item = z.strictObject({
  sensor: sensor.optional().describe("nominal; taken from the job where there is one"),
  lags: lags.optional(),
  looseFit: looseFit.optional(),
  stemLoss: stemLoss.optional(),
  damping: z.number().nonnegative().optional().describe("transmitters: damping, s"),
  noise: z.number().nonnegative().optional().describe("its own noise, standard deviation, K"),
  deviation: deviation.optional(),
});

const when = {
  at: z.number().nonnegative().default(0).describe("from this time on, s on the run's clock"),
  until: z.number().positive().optional().describe("until this time, s; for good if absent"),
};
const onChannel = { ...when, channel };
const onInstrument = { ...when, instrument: channel };

export const simulatedFaultSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("open-circuit"), ...onChannel }),
  z.strictObject({ kind: z.literal("reversed"), ...onChannel }),
  z.strictObject({ kind: z.literal("wrong-type"), ...onChannel, sensor: sensor.describe("what is really connected") }),
  z.strictObject({ kind: z.literal("lead-resistance"), ...onChannel, ohm: positive }),
  z.strictObject({ kind: z.literal("drift"), ...onChannel, kelvinPerHour: finite }),
  z.strictObject({ kind: z.literal("stuck"), ...onChannel }),
  z.strictObject({ kind: z.literal("drop-out"), ...onInstrument }).describe("takes questions and never answers"),
  z
    .strictObject({ kind: z.literal("garbled"), ...onInstrument, every: z.int().min(1).default(1) })
    .describe("every so manieth answer is spoilt"),
  z
    .strictObject({ kind: z.literal("slow"), ...onInstrument, seconds: positive, every: z.int().min(1).default(1) })
    .describe("every so manieth answer comes so many real seconds late"),
  z
    .strictObject({ kind: z.literal("half-reply"), ...onInstrument, every: z.int().min(1).default(1) })
    .describe("every so manieth answer stops half way"),
  z.strictObject({ kind: z.literal("chunked"), ...onInstrument, bytes: z.int().min(1).default(1) }),
  z.strictObject({
    kind: z.literal("junk"),
    ...onInstrument,
    before: z.string().default(""),
    after: z.string().default(""),
  }),
  z.strictObject({ kind: z.literal("hang-up"), ...onInstrument }).describe("closes the connection at each question"),
]);

/** What the simulated bench is made of. Everything has a default from the class of the source, or from the job's kit. */
export const simulationSchema = z.strictObject({
  seed: z.int().nonnegative().optional().describe("what is hidden and what is random follows from it"),
  ambient: finite.default(23).describe("°C"),
  hidden: z
    .enum(["drawn", "none"])
    .default("drawn")
    .describe("drawn: the kit is off by hidden amounts within what it states; none: the kit is perfect"),
  source: z
    .strictObject({
      class: z.enum(sourceClasses).optional().describe("taken from the job's kit where there is one"),
      start: finite.optional().describe("temperature at the start, °C; ambient if absent"),
      controlOffset: finite.optional().describe("error of its control sensor, K, in place of a drawn one"),
      heating: positive.optional().describe("W"),
      cooling: z.number().nonnegative().optional().describe("W"),
      blockCapacity: positive.optional().describe("J/K"),
      oscillation: z.number().nonnegative().optional().describe("amplitude of cycling, K"),
      period: positive.optional().describe("of cycling, s"),
      unsteadiness: z.number().nonnegative().optional().describe("standard deviation, K"),
    })
    .default({}),
  reference: z
    .strictObject({
      channel: channel.optional(),
      sensor: sensor.optional(),
      lags: lags.optional(),
      looseFit: looseFit.optional(),
      stemLoss: stemLoss.optional(),
    })
    .default({}),
  items: z.record(channel, item).default({}).describe("by the channel on which the item is read"),
  junction: z
    .strictObject({
      channel: channel.optional(),
      above: finite.default(1.5).describe("how much warmer than ambient the reference junction is, K"),
      wander: z.number().nonnegative().default(0.15).describe("slow movement, standard deviation, K"),
    })
    .default({ above: 1.5, wander: 0.15 }),
  readout: z
    .strictObject({
      noise: z
        .strictObject({
          Ω: positive.optional(),
          mV: positive.optional(),
          mA: positive.optional(),
          "°C": positive.optional(),
        })
        .default({})
        .describe("white noise of one reading, standard deviation, in the unit of the channel"),
      flicker: z.number().nonnegative().default(0.4).describe("1/f noise as a share of the white"),
    })
    .default({ noise: {}, flicker: 0.4 }),
  faults: z.array(simulatedFaultSchema).default([]),
});

export type Simulation = z.infer<typeof simulationSchema>;
export type SimulationInput = z.input<typeof simulationSchema>;
export type SimulatedFault = z.infer<typeof simulatedFaultSchema>;
export type SimulatedFaultInput = z.input<typeof simulatedFaultSchema>;
export type ItemDeviation = z.infer<typeof deviation>;
