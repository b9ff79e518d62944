import { failure, type Outcome } from "#fault";
import { parseAddress } from "../drivers/address.ts";
import type { LineTransport } from "../drivers/transport.ts";
import type { Wire } from "../wire/wire.ts";
import { connectSerial } from "./serial-wire.ts";
import { connectTcp } from "./tcp-wire.ts";
import { connectUsbTmc } from "./usb-tmc-wire.ts";

/** The wire that an address asks for, set up as the entry's transport says. */
export const connectWire = async ({
  at,
  transport,
}: {
  readonly at: string;
  readonly transport: LineTransport;
}): Promise<Outcome<Wire>> => {
  const parsed = parseAddress(at);
  if (!parsed.ok) return parsed;
  const address = parsed.value;
  if (address.kind === "tcp-socket") return connectTcp(at);
  if (address.kind === "usb-tmc") return connectUsbTmc(address.path);
  if (address.kind === "serial" && address.path !== null && transport.kind === "serial")
    return connectSerial(address.path, transport);
  return failure("instrument.unreachable", `"${at}" cannot be opened as a line`);
};
