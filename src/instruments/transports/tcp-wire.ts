import { connect as connectSocket, type Socket } from "node:net";
import { failure, success, type Outcome } from "#fault";
import { addressForms, parseAddress } from "../drivers/address.ts";
import { reasonOf } from "./reasons.ts";
import { wireEnd } from "../wire/wire-end.ts";
import type { Wire } from "../wire/wire.ts";

const wireOf = (socket: Socket): Wire => {
  const end = wireEnd();
  socket.on("data", (piece: Uint8Array) => end.take(piece));
  socket.on("error", (error) => end.because(reasonOf(error)));
  socket.on("end", () => end.because("the other end has closed the connection"));
  socket.on("close", () => end.close("closed"));
  return {
    listen: end.listen,
    send(bytes) {
      if (!socket.destroyed && socket.writable) socket.write(bytes);
    },
    close() {
      end.because("closed by this program");
      socket.destroy();
    },
  };
};

/**
 * Opens a raw TCP socket to `tcp://host:port`. Small messages go out at once (no Nagle), keep-alive finds a dead peer.
 * A refusal, an unknown host or nobody there within `timeout` seconds is a failure value with the reason in words.
 */
export const connectTcp = (address: string, timeout = 5): Promise<Outcome<Wire>> => {
  const parsed = parseAddress(address);
  if (!parsed.ok) return Promise.resolve(parsed);
  const place = parsed.value;
  if (place.kind !== "tcp-socket")
    return Promise.resolve(
      failure("instrument.unreachable", `"${address}" is no TCP address; one is written ${addressForms["tcp-socket"]}`),
    );
  return new Promise((resolve) => {
    const socket = connectSocket({
      host: place.host,
      port: place.port,
      noDelay: true,
      keepAlive: true,
      keepAliveInitialDelay: 10_000,
    });
    const timer = setTimeout(() => {
      socket.destroy();
      resolve(failure("instrument.unreachable", `no connection within ${timeout} s`));
    }, timeout * 1000);
    const refused = (error: Error) => {
      clearTimeout(timer);
      resolve(failure("instrument.unreachable", reasonOf(error)));
    };
    socket.once("error", refused);
    socket.once("connect", () => {
      clearTimeout(timer);
      socket.off("error", refused);
      resolve(success(wireOf(socket)));
    });
  });
};
