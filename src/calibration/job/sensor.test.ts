import { describe, expect, it } from "vitest";
import { itemSensorSchema, sensorSchema } from "./sensor.ts";

const callendar = {
  kind: "platinum",
  equation: "callendar-van-dusen",
  r0: 100,
  a: 3.9083e-3,
  b: -5.775e-7,
  c: -4.183e-12,
};
const scale = { kind: "platinum", equation: "its-90", rtpw: 25.5, coefficients: [{ subrange: 7, a: -1e-4, b: 1e-5 }] };
const thermistor = { kind: "thermistor", equation: "steinhart-hart", a: 1e-3, b: 2e-4, c: 1e-7 };
const thermocouple = { kind: "thermocouple", type: "K" };
const loop = { kind: "loop", lower: 0, upper: 150 };
const contact = { kind: "switch", onRise: "opens", trip: 90, deadBand: { minimum: 2, maximum: 5 } };

describe("a sensor", () => {
  it.each([
    [callendar],
    [scale],
    [
      {
        ...scale,
        coefficients: [
          { subrange: 1, a: 1, c1: 2 },
          { subrange: 11, a: 3 },
        ],
      },
    ],
    [thermistor],
    [{ ...thermistor, d: 1e-9 }],
    [thermocouple],
    [{ ...thermocouple, deviation: [0.01, 1e-5] }],
    [loop],
    [{ ...loop, current: [0, 20], inner: callendar }],
    [{ ...loop, inner: scale }],
    [{ ...loop, inner: thermistor }],
    [{ ...loop, inner: thermocouple }],
    [{ ...loop, inner: { kind: "indication" } }],
    [{ kind: "indication" }],
  ])("is kept as it was written: %j", (sensor) => {
    expect(sensorSchema.parse(sensor)).toEqual(sensor);
    expect(itemSensorSchema.parse(sensor)).toEqual(sensor);
  });

  it.each([
    [{ ...callendar, r0: 0 }],
    [{ ...callendar, c: undefined }],
    [{ ...callendar, equation: "callendar" }],
    [{ ...callendar, d: 1 }],
    [{ ...scale, rtpw: -1 }],
    [{ ...scale, coefficients: [] }],
    [{ ...scale, coefficients: [{ subrange: 0, a: 1 }] }],
    [{ ...scale, coefficients: [{ subrange: 12, a: 1 }] }],
    [{ ...scale, coefficients: [{ subrange: 7, a: "much" }] }],
    [{ ...scale, coefficients: [{ a: 1 }] }],
    [{ ...thermistor, b: undefined }],
    [{ ...thermocouple, type: "Q" }],
    [{ ...thermocouple, deviation: 1 }],
    [{ ...loop, upper: undefined }],
    [{ ...loop, current: [4] }],
    [{ ...loop, inner: loop }],
    [{ kind: "indication", digits: 2 }],
    [{ kind: "eye" }],
  ])("may not be %j", (sensor) => {
    expect(sensorSchema.safeParse(sensor).success).toBe(false);
    expect(itemSensorSchema.safeParse(sensor).success).toBe(false);
  });
});

describe("a switch", () => {
  it("is an item, never a reference; it trips on rising where nothing is said", () => {
    expect(sensorSchema.safeParse(contact).success).toBe(false);
    expect(itemSensorSchema.parse(contact)).toEqual({ ...contact, tripsOn: "rising" });
    const low = {
      ...contact,
      onRise: "closes",
      tripsOn: "falling",
      reset: { temperature: 90.1, kelvin: 0.5 },
      lag: { seconds: 20, halfWidth: 0 },
    };
    expect(itemSensorSchema.parse(low)).toEqual(low);
    const { deadBand: _, ...reset } = { ...contact, reset: { temperature: 89.9, kelvin: 0.5 } };
    expect(itemSensorSchema.parse(reset)).toMatchObject(reset);
    expect(itemSensorSchema.safeParse({ ...contact, deadBand: { minimum: 0, maximum: 1 } }).success).toBe(true);
  });

  it.each<[string, object]>([
    ["", { deadBand: undefined }],
    ["onRise", { onRise: "turns" }],
    ["tripsOn", { tripsOn: "both" }],
    ["deadBand", { deadBand: { minimum: 2, maximum: 2 } }],
    ["deadBand.minimum", { deadBand: { minimum: -1, maximum: 2 } }],
    ["deadBand.maximum", { deadBand: { minimum: 0, maximum: 0 } }],
    // A high alarm comes back below its trip, a low one above it.
    ["reset", { reset: { temperature: 90, kelvin: 1 } }],
    ["reset", { reset: { temperature: 91, kelvin: 1 } }],
    ["reset", { tripsOn: "falling", reset: { temperature: 90, kelvin: 1 } }],
    ["reset", { tripsOn: "falling", reset: { temperature: 89, kelvin: 1 } }],
    ["reset.kelvin", { reset: { temperature: 87, kelvin: 0 } }],
    ["lag.halfWidth", { lag: { seconds: 20, halfWidth: -1 } }],
    ["lag.seconds", { lag: { halfWidth: 1 } }],
  ])("is refused at %j: %j", (path, change) => {
    expect(itemSensorSchema.safeParse({ ...contact, ...change }).error?.issues[0]?.path.join(".")).toBe(path);
  });
});
