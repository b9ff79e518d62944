import { expect, it } from "vitest";
import { z } from "zod";
import { unwrap } from "#fault";
import { loadDocument } from "#intake";
import { instrumentLine } from "./instrument-line.ts";

const instrument = z.strictObject({ id: z.string(), entry: z.string(), at: z.string(), role: z.string() });

it.each([
  ["readout-1", "serial:/dev/ttyUSB0"],
  ["readout-1", "serial:any"],
  ["readout-1", "serial:COM3"],
  ["bath.2", "tcp://192.168.1.20:5025"],
  ["bath", "modbus-rtu:/dev/serial/by-id/usb-A_B:1.0-port0#17"],
  ["bath", "modbus-tcp://plc.example:502#1"],
  ["odd", "serial:/dev/a,b}c"],
  ["odd", "serial:/dev/trailing:"],
  ["12", "tcp://host:1"],
  ["1e3", "tcp://host:1"],
  ["no", "tcp://host:1"],
  ["NULL", "usbtmc:/dev/usbtmc0"],
])("the line of %s at %s is read by YAML as what it says", (name, at) => {
  const line = instrumentLine({ name, at, entry: "scpi-thermometer-readout", role: "readout" });
  expect(
    unwrap(loadDocument(`bench:\n  ${line}\n`, "job.yaml", z.object({ bench: z.array(instrument) }))).bench,
  ).toEqual([{ id: name, entry: "scpi-thermometer-readout", at, role: "readout" }]);
});

it("needs no quotation marks in the usual case", () => {
  expect(
    instrumentLine({ name: "bath", entry: "scpi-heat-source", at: "tcp://192.168.1.20:5025", role: "source" }),
  ).toBe("- {id: bath, entry: scpi-heat-source, at: tcp://192.168.1.20:5025, role: source}");
});
