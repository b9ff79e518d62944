import { SerialPort } from "serialport";
import { failure, success, type Outcome } from "#fault";
import type { SerialTransport } from "../drivers/transport.ts";
import type { Wire, WireListener } from "../wire/wire.ts";
import { reasonOf } from "./reasons.ts";

const wireOf = (port: SerialPort): Wire => {
  const early: Uint8Array[] = [];
  let listener: WireListener | null = null;
  let reason: string | null = null;
  let gone: string | null = null;

  port.on("data", (piece: Uint8Array) => {
    if (listener === null) early.push(piece);
    else listener.bytes(piece);
  });
  port.on("error", (error) => {
    reason ??= reasonOf(error);
  });
  port.on("close", (error: (Error & { disconnected?: boolean }) | null) => {
    gone =
      reason ?? (error?.disconnected === true ? "the serial adapter was unplugged, or the device is gone" : "closed");
    listener?.closed(gone);
  });

  return {
    listen(next) {
      listener = next;
      for (const piece of early.splice(0)) next.bytes(piece);
      if (gone !== null) next.closed(gone);
    },
    send(bytes) {
      if (port.isOpen) port.write(Buffer.from(bytes));
    },
    close() {
      reason ??= "closed by this program";
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
