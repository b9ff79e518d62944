import { expect, test } from "vitest";
import { entryWords, isOnSerialLine, suggestedAddresses, type Entry } from "./suggested-addresses.ts";

const entry = (transports: Entry["transports"]): Entry => ({
  entry: "readout-a",
  title: "Readout",
  notes: null,
  role: "readout",
  dialogue: "questions",
  transports,
  reads: [{ unit: "Ω", first: 1, last: 8 }],
});

const port = (path: string, about: string | null, usedBy: string | null = null) => ({
  path,
  about,
  usedBy,
  addresses: [
    { transport: "serial" as const, at: `serial:${path}` },
    { transport: "modbus-rtu" as const, at: `modbus-rtu:${path}#1` },
  ],
});

const earlier = [
  { entry: "source-b", at: "tcp://192.0.2.7:5025", transport: "tcp-socket" as const, job: "J-1", usedBy: null },
  { entry: "readout-a", at: "tcp://192.0.2.8:5025", transport: "tcp-socket" as const, job: "J-2", usedBy: "R-1" },
  { entry: "readout-a", at: "serial:/dev/ttyUSB0", transport: "serial" as const, job: "J-2", usedBy: null },
  { entry: "readout-a", at: "not an address", transport: null, job: "J-3", usedBy: null },
];

test("the entry's own addresses come first, then the ports, then what speaks the same way; each once", () => {
  const bench = { ports: [port("/dev/ttyUSB0", "adapter"), port("/dev/ttyUSB1", null)], earlier };
  expect(suggestedAddresses(entry(["tcp-socket", "serial"]), bench)).toEqual([
    { at: "tcp://192.0.2.8:5025", from: "in job J-2", usedBy: "R-1" },
    { at: "serial:/dev/ttyUSB0", from: "in job J-2", usedBy: null },
    { at: "serial:/dev/ttyUSB1", from: "serial port", usedBy: null },
    { at: "tcp://192.0.2.7:5025", from: "in job J-1, another instrument", usedBy: null },
  ]);
});

test("only what the entry speaks over is suggested, written as that", () => {
  const bench = { ports: [port("/dev/ttyUSB0", "adapter", "R-2")], earlier };
  expect(suggestedAddresses(entry(["modbus-rtu"]), bench)).toEqual([
    { at: "modbus-rtu:/dev/ttyUSB0#1", from: "adapter", usedBy: "R-2" },
  ]);
  expect(suggestedAddresses(entry(["usb-tmc"]), bench)).toEqual([]);
});

test.each([
  [["serial", "tcp-socket"], true],
  [["modbus-rtu"], true],
  [["modbus-tcp", "usb-tmc", "tcp-socket"], false],
] as const)("an entry over %j is looked for on serial ports: %s", (transports, looked) => {
  expect(isOnSerialLine(entry([...transports]))).toBe(looked);
});

test("an entry is said in a line", () => {
  expect(entryWords(entry(["serial"]))).toBe("readout · reads Ω on 8 inputs · serial line");
  expect(entryWords({ ...entry(["modbus-tcp"]), role: "source", reads: [{ unit: "°C", first: 1, last: 1 }] })).toBe(
    "heat source · reads °C · Modbus TCP",
  );
  expect(entryWords({ ...entry(["serial"]), role: "item", reads: [] })).toMatch(/reads nothing/);
});
