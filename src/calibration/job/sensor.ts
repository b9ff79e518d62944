import { z } from "zod";
import { thermocoupleTypes, type Sensor } from "#thermometry";

const finite = z.number();
const positive = z.number().positive();

const thermocouple = z.strictObject({
  kind: z.literal("thermocouple"),
  type: z.enum(thermocoupleTypes).describe("letter designation of IEC 60584-1"),
  deviation: z.array(finite).optional().describe("polynomial in °C added to the reference function, mV"),
});

const scalePlatinum = z.strictObject({
  kind: z.literal("platinum"),
  equation: z.literal("its-90"),
  rtpw: positive.describe("resistance at the triple point of water, Ω"),
  coefficients: z
    .array(z.object({ subrange: z.int().min(1).max(11) }).catchall(finite))
    .min(1)
    .describe("deviation coefficients, one entry for each ITS-90 subrange that the certificate gives"),
});

const callendarVanDusen = z.strictObject({
  kind: z.literal("platinum"),
  equation: z.literal("callendar-van-dusen"),
  r0: positive.describe("resistance at 0 °C, Ω"),
  a: finite,
  b: finite,
  c: finite,
});

const thermistor = z.strictObject({
  kind: z.literal("thermistor"),
  equation: z.literal("steinhart-hart"),
  a: finite,
  b: finite,
  c: finite,
  d: finite.optional(),
});

const indication = z.strictObject({ kind: z.literal("indication") });

/** What a transmitter may hold inside; a transmitter within a transmitter is refused. */
const innerSensor = z.union([thermocouple, scalePlatinum, callendarVanDusen, thermistor, indication]);

const loop = z.strictObject({
  kind: z.literal("loop"),
  lower: finite.describe("temperature at the first end of the current span, °C"),
  upper: finite.describe("temperature at the second end of the current span, °C"),
  current: z.tuple([finite, finite]).optional().describe("current span, mA; 4 to 20 where nothing is said"),
  inner: innerSensor.optional(),
});

const temperatureSwitch = z
  .strictObject({
    kind: z.literal("switch"),
    onRise: z.enum(["opens", "closes"]).describe("what the contact does when the temperature rises past the switch"),
    trip: finite.describe("temperature at which it shall act, °C"),
    tripsOn: z
      .enum(["rising", "falling"])
      .default("rising")
      .describe("direction in which the trip is defined: rising for a high alarm, falling for a low one"),
    reset: z
      .strictObject({ temperature: finite, kelvin: positive.describe("± limit of the reset, K") })
      .optional()
      .describe("where it shall come back, where that is agreed as a temperature"),
    deadBand: z
      .strictObject({ minimum: z.number().nonnegative(), maximum: positive })
      .refine(({ minimum, maximum }) => minimum < maximum, { error: "minimum must be less than maximum" })
      .optional()
      .describe("limits of the distance between trip and reset, K"),
    lag: z
      .strictObject({
        seconds: finite.describe("by how much the switch is slower than the reference in this source, s"),
        halfWidth: z.number().nonnegative().describe("± limit of that, s"),
      })
      .optional()
      .describe("where it is known: the effect of the ramp is then corrected"),
  })
  .refine(({ reset, deadBand }) => reset !== undefined || deadBand !== undefined, {
    error: "say where it shall come back: reset, or deadBand, or both",
  })
  .refine(
    ({ trip, tripsOn, reset }) =>
      reset === undefined || (tripsOn === "rising" ? reset.temperature < trip : reset.temperature > trip),
    {
      error: "a switch that trips on rising resets below its trip, one that trips on falling above it",
      path: ["reset"],
    },
  );

const thermometers = [
  thermocouple,
  z.discriminatedUnion("equation", [scalePlatinum, callendarVanDusen]),
  thermistor,
  loop,
  indication,
] as const;

/** How a signal and a temperature belong together; see `Sensor` of the thermometry room for units. */
export const sensorSchema = z
  .discriminatedUnion("kind", [...thermometers])
  .transform((value): Sensor => value as Sensor)
  .describe("sensor");

/** What an item may be: a thermometer of any kind, or a switch. */
export const itemSensorSchema = z
  .discriminatedUnion("kind", [...thermometers, temperatureSwitch])
  .transform((value): Sensor => value as Sensor)
  .describe("sensor");
