import { describe, expect, it } from "vitest";
import { itemSchema } from "./item.ts";
import { benchInstrumentSchema } from "./job.ts";
import { resistor } from "../evaluate/invented-run.test-support.ts";

describe("where an instrument is", () => {
  const allowed = (at: string): boolean =>
    benchInstrumentSchema.safeParse({ id: "readout", entry: "generic-readout", at, role: "readout" }).success;

  it.each([
    "simulated",
    "tcp://localhost:5025",
    "tcp://10.0.0.7:1",
    "serial:/dev/ttyUSB0",
    "serial:any",
    "usbtmc:/dev/usbtmc0",
    "modbus-tcp://host:502#1",
    "modbus-rtu:/dev/ttyUSB0#247",
  ])("may be %s", (at) => {
    expect(allowed(at)).toBe(true);
  });

  it.each([
    "",
    "simulated bench",
    "not simulated",
    "tcp://host",
    "tcp://:5025",
    "tcp://host:",
    "tcp://host:123456",
    "tcp://host:port",
    "tcp://two words:5025",
    "tcp://host:5025/",
    "my tcp://host:5025",
    "serial:",
    "serial:/dev/tty USB0",
    "serial:/dev/ttyUSB0#1",
    "usbtmc:",
    "usbtmc:/dev/usb tmc0",
    "modbus-tcp://host:502",
    "modbus-tcp://host:502#",
    "modbus-tcp://host:502#1234",
    "modbus-tcp://host:502#one",
    "modbus-rtu:/dev/ttyUSB0",
    "modbus-rtu:#1",
    "modbus-rtu:/dev/ttyUSB0#1234",
  ])("may not be %j", (at) => {
    expect(allowed(at)).toBe(false);
  });
});

describe("the tolerance of an item", () => {
  const parsed = (tolerance: unknown) =>
    itemSchema.safeParse({ ...resistor, range: { lower: 0, upper: 200 }, tolerance });

  it.each([
    [{ kelvin: 0.5 }],
    [{ percentOfReading: 1 }],
    [{ percentOfSpan: 0.5 }],
    [
      {
        kelvinTable: [
          { temperature: 0, kelvin: 0.1 },
          { temperature: 100, kelvin: 0.2 },
        ],
      },
    ],
    [{ class: "iec-60751/B", construction: "wire-wound" }],
  ])("may be %j", (tolerance) => {
    expect(parsed(tolerance).success).toBe(true);
  });

  it.each([[{}], [{ class: "iec-60751/B", construction: "wire-wound", kelvin: 0.5 }]])("may not be %j", (tolerance) => {
    expect(parsed(tolerance).error?.issues[0]?.message).toMatch(/give either class, or one or more of kelvin/);
  });
});
