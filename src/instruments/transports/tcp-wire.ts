import { connect as connectSocket, type Socket } from "node:net";
import { failure, success, type Outcome } from "#fault";
import { parseTcpAddress } from "../drivers/address.ts";
import type { Wire, WireListener } from "../wire/wire.ts";

/** Reasons of the platform in words that a technician can act on; anything else keeps its own code. */
const reasons: Readonly<Record<string, string>> = {
  ECONNREFUSED: "nothing answers at that port (connection refused)",
  ENOTFOUND: "there is no host of that name",
  EAI_AGAIN: "the host's name could not be looked up",
  EHOSTUNREACH: "there is no way to that host on the network",
  ENETUNREACH: "there is no way to that network",
  ETIMEDOUT: "the host does not answer",
  ECONNRESET: "the other end broke the connection off",
  EPIPE: "the other end has closed the connection",
};

const reasonOf = (error: Error): string => {
  const code = "code" in error ? String(error.code) : "";
  return reasons[code] ?? error.message;
};

const wireOf = (socket: Socket): Wire => {
  const early: Uint8Array[] = [];
  let listener: WireListener | null = null;
  let reason: string | null = null;
  let gone: string | null = null;

  socket.on("data", (piece: Uint8Array) => {
    if (listener === null) early.push(piece);
    else listener.bytes(piece);
  });
  socket.on("error", (error) => {
    reason = reasonOf(error);
  });
  socket.on("end", () => {
    reason ??= "the other end has closed the connection";
  });
  socket.on("close", () => {
    gone = reason ?? "closed";
    listener?.closed(gone);
  });

  return {
    listen(next) {
      listener = next;
      for (const piece of early.splice(0)) next.bytes(piece);
      if (gone !== null) next.closed(gone);
    },
    send(bytes) {
      if (!socket.destroyed && socket.writable) socket.write(bytes);
    },
    close() {
      reason ??= "closed by this program";
      socket.destroy();
    },
  };
};

/**
 * Opens a raw TCP socket to `tcp://host:port`. Small messages go out at once (no Nagle), keep-alive finds a dead peer.
 * A refusal, an unknown host or nobody there within `timeout` seconds is a failure value with the reason in words.
 */
export const connectTcp = (address: string, timeout = 5): Promise<Outcome<Wire>> => {
  const parsed = parseTcpAddress(address);
  if (!parsed.ok) return Promise.resolve(parsed);
  return new Promise((resolve) => {
    const socket = connectSocket({ ...parsed.value, noDelay: true, keepAlive: true, keepAliveInitialDelay: 10_000 });
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
