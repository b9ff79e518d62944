import { createServer, type Socket } from "node:net";
import { Fault } from "#fault";
import type { LineService } from "./line-service.ts";

export interface TcpListener {
  readonly address: string;
  close(): Promise<void>;
}

/** Puts a simulated instrument on a loopback port; 0 lets the system choose one. */
export const listenOn = (service: LineService, host: string, port: number): Promise<TcpListener> => {
  const clients = new Set<Socket>();
  const server = createServer({ noDelay: true }, (socket) => {
    clients.add(socket);
    const sink = {
      write: (bytes: Uint8Array) => {
        if (socket.writable) socket.write(bytes);
      },
      hangUp: () => socket.destroy(),
    };
    const take = service.connect(sink);
    socket.on("data", take);
    // A client that breaks off is no trouble of the instrument's: the socket is gone, and that is all.
    socket.on("error", () => socket.destroy());
    socket.on("close", () => {
      clients.delete(socket);
      service.leave?.(sink);
    });
  });
  return new Promise((resolve, reject) => {
    server.once("error", (error) => {
      const taken = "code" in error && error.code === "EADDRINUSE";
      reject(
        new Fault(
          taken ? "station.port-in-use" : "internal",
          taken
            ? `Port ${port} on ${host} is taken by another program. Choose another with --port, or stop that program.`
            : `The simulated bench cannot listen on ${host}:${port}: ${error.message}`,
          { cause: error },
        ),
      );
    });
    server.listen(port, host, () => {
      const bound = server.address();
      const boundPort = typeof bound === "object" && bound !== null ? bound.port : port;
      resolve({
        address: `tcp://${host}:${boundPort}`,
        close: () =>
          new Promise((done) => {
            for (const client of clients) client.destroy();
            server.close(() => done());
          }),
      });
    });
  });
};
