import { failure, success, type Outcome } from "#fault";

/**
 * Where an instrument is. A serial port may be left open (`any`): it is then looked for by what it says of itself, since
 * ports of USB adapters change their names when they are plugged in again.
 */
export type InstrumentAddress =
  | { readonly kind: "tcp-socket"; readonly host: string; readonly port: number }
  | { readonly kind: "serial"; readonly path: string | null }
  | { readonly kind: "usb-tmc"; readonly path: string }
  | { readonly kind: "modbus-tcp"; readonly host: string; readonly port: number; readonly unit: number }
  | { readonly kind: "modbus-rtu"; readonly path: string; readonly unit: number };

export type TransportKind = InstrumentAddress["kind"];

/** How each kind of address is written, for sentences and for the job's schema. */
export const addressForms: Readonly<Record<TransportKind, string>> = {
  "tcp-socket": "tcp://192.168.1.20:5025",
  serial: "serial:/dev/ttyUSB0 (or serial:any)",
  "usb-tmc": "usbtmc:/dev/usbtmc0",
  "modbus-tcp": "modbus-tcp://192.168.1.20:502#1",
  "modbus-rtu": "modbus-rtu:/dev/ttyUSB0#1",
};

const socket = /^tcp:\/\/([^\s:/#]+):(\d{1,5})$/;
const file = /^(serial|usbtmc):([^\s#]+)$/;
const modbusSocket = /^modbus-tcp:\/\/([^\s:/#]+):(\d{1,5})#(\d{1,3})$/;
const modbusLine = /^modbus-rtu:([^\s#]+)#(\d{1,3})$/;

const port = (text: string | undefined): number | null => {
  const value = Number(text);
  return value >= 1 && value <= 65_535 ? value : null;
};

/** Unit identifiers 1 to 247 (Modbus over serial line, 2.2, from memory; 0 is for everybody and nobody answers it). */
const unit = (text: string | undefined): number | null => {
  const value = Number(text);
  return value >= 1 && value <= 247 ? value : null;
};

const parse = (text: string): InstrumentAddress | null => {
  const overSocket = socket.exec(text);
  if (overSocket !== null) {
    const at = port(overSocket[2]);
    return at === null ? null : { kind: "tcp-socket", host: overSocket[1]!, port: at };
  }
  const onFile = file.exec(text);
  if (onFile !== null) {
    const path = onFile[2]!;
    if (onFile[1] === "usbtmc") return { kind: "usb-tmc", path };
    return { kind: "serial", path: path === "any" ? null : path };
  }
  const modbusTcp = modbusSocket.exec(text);
  if (modbusTcp !== null) {
    const [at, who] = [port(modbusTcp[2]), unit(modbusTcp[3])];
    return at === null || who === null ? null : { kind: "modbus-tcp", host: modbusTcp[1]!, port: at, unit: who };
  }
  const modbusRtu = modbusLine.exec(text);
  const who = unit(modbusRtu?.[2]);
  return modbusRtu === null || who === null ? null : { kind: "modbus-rtu", path: modbusRtu[1]!, unit: who };
};

/** Reads an address; a failure says how addresses are written. */
export const parseAddress = (text: string): Outcome<InstrumentAddress> => {
  const address = parse(text);
  return address === null
    ? failure(
        "instrument.unreachable",
        `"${text}" is not an address. Write one of: ${Object.values(addressForms).join(", ")}.`,
      )
    : success(address);
};
