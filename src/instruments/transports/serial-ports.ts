import { readdir } from "node:fs/promises";
import { SerialPort } from "serialport";

export interface SerialPortFound {
  readonly path: string;
  /** What the adapter says of itself, where the system tells. */
  readonly about: string | null;
}

/** Names under which Linux shows serial adapters that are plugged in. */
const adapters = /^tty(USB|ACM|AMA)\d+$/;

/** Asks the system; where it cannot tell (no udev, in a container) the device files say which ports there are. */
export const listSerialPorts = async (): Promise<readonly SerialPortFound[]> => {
  const found = await SerialPort.list().catch(() => []);
  const told = found
    .filter(({ path, vendorId }) => vendorId !== undefined || !/^\/dev\/ttyS\d+$/.test(path))
    .map(({ path, manufacturer, serialNumber }) => ({
      path,
      about: [manufacturer, serialNumber].filter((text) => text !== undefined).join(", ") || null,
    }));
  const files = await readdir("/dev").catch(() => [] as string[]);
  const known = new Set(told.map(({ path }) => path));
  const rest = files
    .filter((name) => adapters.test(name))
    .map((name) => `/dev/${name}`)
    .filter((path) => !known.has(path))
    .map((path) => ({ path, about: null }));
  return [...told, ...rest].sort((a, b) => (a.path < b.path ? -1 : 1));
};
