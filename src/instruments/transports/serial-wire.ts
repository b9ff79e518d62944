import { SerialPort } from "serialport";
import { failure, success, type Outcome } from "#fault";
import type { SerialTransport } from "../drivers/transport.ts";
import { wireEnd } from "../wire/wire-end.ts";
import type { Wire } from "../wire/wire.ts";
import { reasonOf } from "./reasons.ts";

const wireOf = (port: SerialPort): Wire => {
  const end = wireEnd();
  port.on("data", (piece: Uint8Array) => end.take(piece));
  port.on("error", (error) => end.because(reasonOf(error)));
  port.on("close", (error: (Error & { disconnected?: boolean }) | null) =>
    end.close(error?.disconnected === true ? "the serial adapter was unplugged, or the device is gone" : "closed"),
  );
  return {
    listen: end.listen,
    send(bytes) {
      if (port.isOpen) port.write(Buffer.from(bytes));
    },
    close() {
      end.because("closed by this program");
      if (port.isOpen) port.close();
    },
  };
};

/**
 * Opens a serial line, for this program alone. What the entry says of it is set on the port; what was still in its input
 * from before is thrown away. A port that is not there, is taken, or may not be used is a failure value with the reason.
 */
export const connectSerial = (path: string, transport: SerialTransport): Promise<Outcome<Wire>> =>
  new Promise((resolve) => {
    const port = new SerialPort({
      path,
      baudRate: transport.speed,
      dataBits: transport.dataBits,
      parity: transport.parity,
      stopBits: transport.stopBits,
      rtscts: transport.flow === "rts-cts",
      xon: transport.flow === "xon-xoff",
      xoff: transport.flow === "xon-xoff",
      autoOpen: false,
    });
    port.open((error) => {
      if (error !== null) {
        resolve(failure("instrument.unreachable", `${path}: ${reasonOf(error)}`));
        return;
      }
      // A terminal that is only a pair of pseudo-terminals cannot be flushed on every system: no reason to give up.
      port.flush(() => resolve(success(wireOf(port))));
    });
  });
