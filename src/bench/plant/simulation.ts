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
  ambientEffect: finite
    .optional()
    .describe("how far its indication moves for each K that the surroundings are away from 23 °C, K/K"),
  deviation: deviation.optional(),
  contact: z
    .strictObject({
      rising: finite.describe("where it really changes on rising, °C"),
      falling: finite.describe("where it really changes on falling, °C"),
      repeatability: z.number().nonnegative().default(0.01).describe("standard deviation of one change to the next, K"),
      chatter: z.number().nonnegative().default(0).describe("how long it bounces when it changes, s"),
    })
    .refine(({ rising, falling }) => falling < rising, { error: "falling must be below rising" })
    .optional()
    .describe("switches: how it really acts; drawn from the seed if absent"),
});

const when = {
  at: z.number().nonnegative().default(0).describe("from this time on, s on the run's clock"),
  until: z.number().positive().optional().describe("until this time, s; for good if absent"),
};
const onChannel = { ...when, channel };
const onInstrument = { ...when, instrument: channel };
/** Temperature of a probe's head: above the surroundings, and above that by a share of what the source is above them. */
const head = { above: finite.default(5), share: share.default(0.02) };

export const simulatedFaultSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("open-circuit"), ...onChannel }),
  z.strictObject({ kind: z.literal("reversed"), ...onChannel }),
  z.strictObject({ kind: z.literal("wrong-type"), ...onChannel, sensor: sensor.describe("what is really connected") }),
  z.strictObject({ kind: z.literal("lead-resistance"), ...onChannel, ohm: positive }),
  z.strictObject({ kind: z.literal("drift"), ...onChannel, kelvinPerHour: finite }),
  z.strictObject({ kind: z.literal("stuck"), ...onChannel }),
  z
    .strictObject({ kind: z.literal("copper"), ...onChannel, ...head })
    .describe("thermocouples: copper from the head on, where extension wire belongs"),
  z
    .strictObject({ kind: z.literal("double-reversal"), ...onChannel, ...head })
    .describe("thermocouples: the extension wire is exchanged at both its ends"),
  z
    .strictObject({ kind: z.literal("junction-offset"), ...onChannel, kelvin: finite })
    .describe("the item's reference junction is so much warmer than what is told of it"),
  z
    .strictObject({ kind: z.literal("shallow"), ...onChannel, share })
    .describe("too little immersion: share of the difference to the surroundings that is lost"),
  z
    .strictObject({ kind: z.literal("shunt"), ...onChannel, kiloohm: positive, loop: positive.default(250) })
    .describe("a leak beside the signal; loop: resistance of the wires or of the meter, Ω"),
  z
    .strictObject({
      kind: z.literal("short-circuit"),
      ...onChannel,
      ohm: positive.default(0.5),
      above: finite.default(2),
    })
    .describe("resistance that is left; thermocouples: the place of the short is so much above the surroundings"),
  z
    .strictObject({ kind: z.literal("altered"), ...onChannel, percent: finite.default(0), add: finite.default(0) })
    .describe("the signal is changed by a share of itself and by a constant in its unit"),
  z
    .strictObject({ kind: z.literal("noise"), ...onChannel, deviation: positive })
    .describe("more noise, in the channel's unit"),
  z.strictObject({ kind: z.literal("swapped"), ...onChannel, with: channel }).describe("another channel is read here"),
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
  ambient: finite.default(23).describe("°C, at second 0 of the run"),
  ambientDrift: finite.default(0).describe("how fast the surroundings warm up, K an hour"),
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
      wellCreep: z
        .strictObject({ share: z.number().min(-0.5).max(0.5), lag: positive })
        .optional()
        .describe(
          "the items' wells follow the reference's late: this share of every change through a further lag of so many seconds",
        ),
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
  probes: z
    .record(channel, z.string().max(10_000))
    .default({})
    .describe(
      "what the probe on a channel says that it is, as its readout's entry asks for it: a data sheet, a serial number",
    ),
  items: z.record(channel, item).default({}).describe("by the channel on which the item is read"),
  junction: z
    .strictObject({
      channel: channel.optional(),
      above: finite.default(1.5).describe("how much warmer than ambient the reference junction is, K"),
      wander: z.number().nonnegative().default(0.15).describe("slow movement, standard deviation, K"),
    })
    .default({ above: 1.5, wander: 0.15 }),
  places: z
    .strictObject({
      axial: z
        .array(z.strictObject({ height: z.number().nonnegative(), difference: finite }))
        .default([])
        .describe("temperature at a height above the bottom less that at the bottom, K; mm, rising, 0 at the bottom"),
      wells: z.record(z.string(), finite).default({}).describe("temperature of a well less that of the first, K"),
      loading: finite.default(0).describe("what filling the other wells does to the moved thermometer, K"),
      depth: positive.default(150).describe("immersion where nothing is said, mm"),
      stem: z
        .strictObject({ share, length: positive.describe("over which the loss falls to 1/e, mm") })
        .optional()
        .describe("share of the difference to the surroundings that is lost along the stem at `depth`"),
      selfHeating: z.number().nonnegative().default(0).describe("of the reference, K per mW"),
    })
    .optional()
    .describe("what a test of the source or of a probe can find: items are moved from place to place"),
  check: z
    .strictObject({ channel, error: finite.default(0).describe("how far it is off, K") })
    .optional()
    .describe("a check thermometer beside the reference, showing °C on a channel of its own"),
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
