import { expect, it } from "vitest";
import { addressForms, parseAddress } from "./address.ts";
import { questionEntryFields } from "./question-entry.ts";
import { transportFor, type LineTransport } from "./transport.ts";

it.each([
  ["tcp://192.168.1.20:5025", { kind: "tcp-socket", host: "192.168.1.20", port: 5025 }],
  ["serial:/dev/ttyUSB0", { kind: "serial", path: "/dev/ttyUSB0" }],
  ["serial:COM3", { kind: "serial", path: "COM3" }],
  ["serial:any", { kind: "serial", path: null }],
  ["usbtmc:/dev/usbtmc0", { kind: "usb-tmc", path: "/dev/usbtmc0" }],
  ["modbus-tcp://plc:502#17", { kind: "modbus-tcp", host: "plc", port: 502, unit: 17 }],
  ["modbus-rtu:/dev/ttyUSB1#247", { kind: "modbus-rtu", path: "/dev/ttyUSB1", unit: 247 }],
] as const)("%s", (text, address) => {
  expect(parseAddress(text)).toEqual({ ok: true, value: address });
});

it.each([
  "",
  "192.168.1.20",
  "tcp://host",
  "tcp://host:0",
  "tcp://host:70000",
  "serial:",
  "modbus-tcp://host:502",
  "modbus-tcp://host:502#0",
  "modbus-rtu:/dev/ttyUSB0#248",
  "ftp://host:21",
])("%j is none, and the sentence shows how one is written", (text) => {
  const parsed = parseAddress(text);
  expect(parsed).toMatchObject({ ok: false, fault: { code: "instrument.unreachable" } });
  for (const form of Object.values(addressForms))
    expect(parsed).toMatchObject({ fault: { message: expect.stringContaining(form) } });
});

it("an entry that does not speak over that way says over which it does", () => {
  const entry = questionEntryFields.parse({
    entry: "meter",
    revision: 1,
    title: "Meter",
    role: "readout",
    transport: [{ kind: "tcp-socket" }, { kind: "serial", speed: 19_200 }],
    identify: {},
  });
  const address = (text: string) => {
    const parsed = parseAddress(text);
    if (!parsed.ok) throw new Error(text);
    return parsed.value;
  };
  expect(transportFor<LineTransport>(entry, address("serial:/dev/ttyS0"))).toMatchObject({ value: { speed: 19_200 } });
  expect(transportFor<LineTransport>(entry, address("usbtmc:/dev/usbtmc0"))).toMatchObject({
    ok: false,
    fault: {
      message:
        'Catalogue entry "meter" does not speak over USB-TMC; it speaks over a TCP socket and a serial line. Correct the address, or add the transport to the entry.',
    },
  });
});
