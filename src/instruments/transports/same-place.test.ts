import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import { samePlace } from "./same-place.ts";

it.each([
  ["serial:/dev/ttyUSB0", "serial:/dev/ttyUSB0", true],
  ["serial:/dev/ttyUSB0", "modbus-rtu:/dev/ttyUSB0#3", true],
  ["modbus-rtu:/dev/ttyUSB0#3", "modbus-rtu:/dev/ttyUSB0#4", true],
  ["serial:/dev/ttyUSB0", "serial:/dev/ttyUSB1", false],
  ["serial:any", "modbus-rtu:/dev/ttyUSB1#1", true],
  ["serial:any", "serial:any", true],
  ["serial:any", "tcp://127.0.0.1:5025", false],
  ["serial:any", "usbtmc:/dev/usbtmc0", false],
  ["tcp://LocalHost:5025", "tcp://127.0.0.1:5025", true],
  ["tcp://127.0.0.1:5025", "tcp://127.0.0.1:5026", false],
  ["modbus-tcp://plc:502#1", "modbus-tcp://plc:502#2", true],
  ["usbtmc:/dev/usbtmc0", "usbtmc:/dev/usbtmc1", false],
  ["no address", "no address", true],
  ["simulated", "serial:any", false],
])("%s and %s lead to one place: %s", (one, other, same) => {
  expect(samePlace(one, other)).toBe(same);
  expect(samePlace(other, one)).toBe(same);
});

it("a device under two names is one", () => {
  const folder = mkdtempSync(join(tmpdir(), "same-place-"));
  const [device, byId] = [join(folder, "ttyUSB0"), join(folder, "usb-adapter")];
  writeFileSync(device, "");
  symlinkSync(device, byId);
  expect(samePlace(`serial:${device}`, `modbus-rtu:${byId}#1`)).toBe(true);
  rmSync(folder, { recursive: true });
});
