import { realpathSync } from "node:fs";
import { parseAddress } from "../drivers/address.ts";

/** A device file goes by several names: by its number and by what is plugged in. */
const deviceOf = (path: string): string => {
  try {
    return realpathSync(path);
  } catch {
    // It is not plugged in, or not a file (COM3): then its name is all there is.
    return path;
  }
};

const anyLine = "line *";

/** What can be held by one program at a time: a line, a device, a socket, whatever is spoken there. */
const placeOf = (at: string): string => {
  const parsed = parseAddress(at);
  if (!parsed.ok) return at;
  const address = parsed.value;
  switch (address.kind) {
    case "serial":
      return address.path === null ? anyLine : `line ${deviceOf(address.path)}`;
    case "modbus-rtu":
      return `line ${deviceOf(address.path)}`;
    case "usb-tmc":
      return `device ${deviceOf(address.path)}`;
    case "tcp-socket":
    case "modbus-tcp":
      return `socket ${address.host.toLowerCase().replace(/^localhost$/, "127.0.0.1")}:${address.port}`;
  }
};

/**
 * Whether two addresses lead over the same line, device or socket, so that only one conversation can be there at a time:
 * units of one Modbus line are, and so is a device file under two names. A serial port that is left open may be any.
 */
export const samePlace = (one: string, other: string): boolean => {
  const [a, b] = [placeOf(one), placeOf(other)];
  if (a === b) return true;
  return (a === anyLine && b.startsWith("line ")) || (b === anyLine && a.startsWith("line "));
};
