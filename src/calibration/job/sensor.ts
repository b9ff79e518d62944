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

/** How a signal and a temperature belong together; see `Sensor` of the thermometry room for units. */
export const sensorSchema = z
  .discriminatedUnion("kind", [
    thermocouple,
    z.discriminatedUnion("equation", [scalePlatinum, callendarVanDusen]),
    thermistor,
    loop,
    indication,
  ])
  .transform((value): Sensor => value as Sensor)
  .describe("sensor");
