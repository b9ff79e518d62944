import { SerialPort } from "serialport";
import type { LineService } from "./line-service.ts";
import { openPtyPair } from "./pty-pair.ts";
import type { TcpListener } from "./tcp-listener.ts";

const speed = 9600;

/** Puts a simulated instrument that talks in lines on a pseudo-terminal. */
export const listenOnSerial = async (service: LineService): Promise<TcpListener> => {
  const pair = await openPtyPair();
  const port = new SerialPort({ path: pair.inner, baudRate: speed, autoOpen: false });
  await new Promise<void>((resolve, reject) => {
    port.open((error) => (error === null ? resolve() : reject(error)));
  });
  const sink = { write: (bytes: Uint8Array) => void port.write(Buffer.from(bytes)), hangUp: () => undefined };
  port.on("data", service.connect(sink));
  port.on("error", () => undefined);
  return {
    address: `serial:${pair.outer}`,
    async close() {
      await new Promise<void>((resolve) => {
        if (port.isOpen) port.close(() => resolve());
        else resolve();
      });
      await pair.close();
    },
  };
};
