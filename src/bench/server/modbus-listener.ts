import { createServer } from "node:net";
import modbus from "modbus-serial";
import type { RegisterTwin } from "./register-twin.ts";
import type { TcpListener } from "./tcp-listener.ts";

type Vector = ConstructorParameters<typeof modbus.ServerTCP>[0];

type Done = (error: Error | null, words: number[]) => void;

/** The server library answers from a table of functions, one place at a time or several. */
const vectorOf = (twin: RegisterTwin): Vector & { readDeviceIdentification(): Record<number, string> } => ({
  getInputRegister: async (address: number) => (await twin.readRegisters("input", address, 1))[0]!,
  getHoldingRegister: async (address: number) => (await twin.readRegisters("holding", address, 1))[0]!,
  // Several at once must be of one moment; of these two the library waits only where they take a callback.
  getMultipleInputRegisters: (address: number, length: number, _unit: number, done: Done) => {
    twin.readRegisters("input", address, length).then(
      (words) => done(null, words),
      (error: Error) => done(error, []),
    );
  },
  getMultipleHoldingRegisters: (address: number, length: number, _unit: number, done: Done) => {
    twin.readRegisters("holding", address, length).then(
      (words) => done(null, words),
      (error: Error) => done(error, []),
    );
  },
  getCoil: (address: number) => twin.readCoil(address),
  setCoil: (address: number, value: boolean) => twin.writeCoil(address, value),
  setRegister: (address: number, value: number) => twin.writeRegisters(address, [value]),
  setRegisterArray: (address: number, values: number[]) => twin.writeRegisters(address, values),
  readDeviceIdentification: () => Object.fromEntries(twin.identification.map((text, index) => [index, text])),
});

/** The library takes port 0 for 502: a free one is looked for first. */
const freePort = (host: string): Promise<number> =>
  new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once("error", reject);
    probe.listen(0, host, () => {
      const bound = probe.address();
      probe.close(() => resolve(typeof bound === "object" && bound !== null ? bound.port : 0));
    });
  });

/** Every unit answers: a twin has no neighbours. */
const anyUnit = 255;

/** Puts simulated registers on a loopback port. */
export const listenModbus = async (twin: RegisterTwin, host: string, wanted: number): Promise<TcpListener> => {
  const port = wanted === 0 ? await freePort(host) : wanted;
  const server = new modbus.ServerTCP(vectorOf(twin), { host, port, unitID: anyUnit });
  server.on("socketError", () => undefined);
  server.on("serverError", () => undefined);
  await new Promise<void>((resolve, reject) => {
    server.once("initialized", () => resolve());
    server.once("error", reject);
  });
  return {
    address: `modbus-tcp://${host}:${port}#1`,
    close: () =>
      new Promise((resolve) => {
        for (const socket of server.socks.keys()) socket.destroy();
        server.close(() => resolve());
      }),
  };
};

/** Puts simulated registers on a serial line. */
export const serveModbusOn = (
  twin: RegisterTwin,
  path: string,
  line: { readonly baudRate: number; readonly parity: "none" | "even" | "odd" },
): Promise<{ close(): Promise<void> }> =>
  new Promise((resolve, reject) => {
    const server = new modbus.ServerSerial(vectorOf(twin), {
      path,
      ...line,
      unitID: anyUnit,
      openCallback: (error) => {
        if (error !== null) reject(error);
        else resolve({ close: () => new Promise((done) => server.close(() => done())) });
      },
    });
    server.on("socketError", () => undefined);
    server.on("error", () => undefined);
  });
