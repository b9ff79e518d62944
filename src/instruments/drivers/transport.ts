import { z } from "zod";
import { failure, success, type Outcome } from "#fault";
import type { InstrumentAddress, TransportKind } from "./address.ts";

const lineEnds = ["lf", "crlf", "cr"] as const;

const serialLine = {
  speed: z.int().min(50).max(4_000_000).describe("bits per second"),
  dataBits: z.literal([7, 8]).default(8),
  parity: z.enum(["none", "even", "odd"]),
  stopBits: z.literal([1, 2]).default(1),
};

/** The ways in which an instrument can be reached. A figure that is left out is the usual one of that way. */
const tcpSocket = z.strictObject({
  kind: z.literal("tcp-socket"),
  end: z.enum(lineEnds).default("lf").describe("end of a line that is sent; any is understood"),
});
const serial = z.strictObject({
  kind: z.literal("serial"),
  ...serialLine,
  speed: serialLine.speed.default(9600),
  parity: serialLine.parity.default("none"),
  flow: z.enum(["none", "rts-cts", "xon-xoff"]).default("none"),
  end: z.enum(lineEnds).default("lf").describe("end of a line that is sent; with cr, one that comes ends so too"),
});
const usbTmc = z.strictObject({ kind: z.literal("usb-tmc"), end: z.enum(lineEnds).default("lf") });
const modbusTcp = z.strictObject({ kind: z.literal("modbus-tcp") });
/** 19,200 bits per second with even parity is what the Modbus specification of the serial line asks of everyone (2.5.1, from memory). */
const modbusRtu = z.strictObject({
  kind: z.literal("modbus-rtu"),
  ...serialLine,
  speed: serialLine.speed.default(19_200),
  parity: serialLine.parity.default("even"),
});

const oneOrMore = <T extends z.ZodType>(one: T) => z.union([one, z.array(one).min(1)]);
export const lineTransports = oneOrMore(z.discriminatedUnion("kind", [tcpSocket, serial, usbTmc]));
export const talkTransports = oneOrMore(z.discriminatedUnion("kind", [tcpSocket, serial]));
export const registerTransports = oneOrMore(z.discriminatedUnion("kind", [modbusTcp, modbusRtu]));

export type LineTransport = z.infer<typeof tcpSocket> | z.infer<typeof serial> | z.infer<typeof usbTmc>;
export type RegisterTransport = z.infer<typeof modbusTcp> | z.infer<typeof modbusRtu>;
export type SerialTransport = z.infer<typeof serial>;

const names: Readonly<Record<TransportKind, string>> = {
  "tcp-socket": "a TCP socket",
  serial: "a serial line",
  "usb-tmc": "USB-TMC",
  "modbus-tcp": "Modbus TCP",
  "modbus-rtu": "Modbus RTU",
};

const each = <T>(one: T | readonly T[]): readonly T[] => (Array.isArray(one) ? one : [one as T]);

/** The way that fits the address; a failure says which ways the entry knows. */
export const transportFor = <T extends { readonly kind: TransportKind }>(
  entry: { readonly entry: string; readonly transport: T | readonly T[] },
  address: InstrumentAddress,
): Outcome<T> => {
  const known = each(entry.transport);
  const found = known.find(({ kind }) => kind === address.kind);
  return found === undefined
    ? failure(
        "instrument.entry-invalid",
        `Catalogue entry "${entry.entry}" does not speak over ${names[address.kind]}; it speaks over ${known.map(({ kind }) => names[kind]).join(" and ")}. Correct the address, or add the transport to the entry.`,
      )
    : success(found);
};

/** The first way of an entry: what the simulated bench speaks where no address says otherwise. */
export const firstTransport = <T>(entry: { readonly transport: T | readonly T[] }): T => each(entry.transport)[0]!;
