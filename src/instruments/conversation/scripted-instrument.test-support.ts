import { mkdtemp, rm } from "node:fs/promises";
import { createServer, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { SerialPort } from "serialport";
import { openPtyPair } from "#bench";
import { success } from "#fault";
import { instrumentEntrySchema, type InstrumentEntry, type InstrumentEntryInput } from "../drivers/entry.ts";
import { connectWire } from "../transports/connect.ts";
import { connectTcp } from "../transports/tcp-wire.ts";
import { encodeText } from "../wire/latin-text.ts";
import { lineFramer } from "../wire/line-framer.ts";
import type { Wire, WireListener } from "../wire/wire.ts";
import type { ConnectInstrument } from "./instrument-conversation.ts";
import type { Frame } from "./line-connection.ts";

/** What a scripted instrument does with one message. */
export interface Reply {
  say(text: string): void;
  hangUp(): void;
}
export type Script = (message: string, reply: Reply, count: number) => void;

export interface Stage {
  readonly connect: ConnectInstrument;
  readonly at: string;
  /** How often a connection was made. */
  connections(): number;
  /** What is said of a connection that the instrument ends. */
  readonly goneReason: string;
  close(): Promise<void>;
}

export const identity = "Test bench,scripted readout,1,0";

/** Answers what every instrument must; the script gets the rest. */
const withManners =
  (script: Script): Script =>
  (message, reply, count) => {
    if (message === "*CLS") return;
    script(message, reply, count);
  };

/** A script that answers the identification and an empty error queue by itself. */
export const polite =
  (script: Script): Script =>
  (message, reply, count) => {
    if (message === "*IDN?") reply.say(`${identity}\n`);
    else if (message === "SYSTem:ERRor?") reply.say('0,"No error"\n');
    else script(message, reply, count);
  };

const inMemory = async (script: Script): Promise<Stage> => {
  let connections = 0;
  const counts = new Map<string, number>();
  return {
    at: "simulated",
    goneReason: "the other end has closed the connection",
    connections: () => connections,
    connect: async () => {
      connections += 1;
      const framer = lineFramer();
      let listener: WireListener | null = null;
      let open = true;
      const end = (reason: string) => {
        if (!open) return;
        open = false;
        listener?.closed(reason);
      };
      const wire: Wire = {
        listen: (next) => {
          listener = next;
        },
        send: (bytes) => {
          for (const message of framer.push(bytes)) {
            const count = (counts.get(message) ?? 0) + 1;
            counts.set(message, count);
            const reply: Reply = {
              say: (text) => {
                if (open) listener?.bytes(encodeText(text));
              },
              hangUp: () => end("the other end has closed the connection"),
            };
            withManners(script)(message, reply, count);
          }
        },
        close: () => end("closed by this program"),
      };
      return success(wire);
    },
    close: async () => undefined,
  };
};

const overTcp = async (script: Script): Promise<Stage> => {
  let connections = 0;
  const counts = new Map<string, number>();
  const sockets = new Set<Socket>();
  const server = createServer({ noDelay: true }, (socket) => {
    connections += 1;
    sockets.add(socket);
    const framer = lineFramer();
    socket.on("error", () => socket.destroy());
    socket.on("close", () => sockets.delete(socket));
    socket.on("data", (piece: Uint8Array) => {
      for (const message of framer.push(piece)) {
        const count = (counts.get(message) ?? 0) + 1;
        counts.set(message, count);
        withManners(script)(
          message,
          { say: (text) => socket.write(encodeText(text)), hangUp: () => socket.end() },
          count,
        );
      }
    });
  });
  await new Promise<void>((resolve) => {
    server.listen(0, "127.0.0.1", () => resolve());
  });
  const bound = server.address();
  if (bound === null || typeof bound === "string") throw new Error("no port");
  const at = `tcp://127.0.0.1:${bound.port}`;
  return {
    at,
    goneReason: "the other end has closed the connection",
    connections: () => connections,
    connect: () => connectTcp(at),
    close: () =>
      new Promise((resolve) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => resolve());
      }),
  };
};

/**
 * A pair of pseudo-terminals: one end is opened as a serial line, or read as a USB-TMC device file. Hanging up pulls the
 * plug, and puts it in again under the same name.
 */
const overTerminal =
  (kind: "serial" | "usbtmc") =>
  async (script: Script): Promise<Stage> => {
    const folder = await mkdtemp(join(tmpdir(), "dwellpoint-stage-"));
    const counts = new Map<string, number>();
    let connections = 0;
    let end: { close(): Promise<void> } | null = null;
    let plugging: Promise<void> = Promise.resolve();

    const plugIn = async () => {
      const pair = await openPtyPair(folder);
      const port = new SerialPort({ path: pair.inner, baudRate: 9600, autoOpen: false });
      await new Promise<void>((resolve, reject) => {
        port.open((error) => (error === null ? resolve() : reject(error)));
      });
      const framer = lineFramer();
      port.on("error", () => undefined);
      port.on("data", (piece: Uint8Array) => {
        for (const message of framer.push(piece)) {
          const count = (counts.get(message) ?? 0) + 1;
          counts.set(message, count);
          withManners(script)(
            message,
            {
              say: (text) => {
                if (port.isOpen) port.write(Buffer.from(encodeText(text)));
              },
              hangUp: () => {
                const old = end;
                plugging = (async () => {
                  await old?.close();
                  await plugIn();
                })();
              },
            },
            count,
          );
        }
      });
      end = {
        async close() {
          await new Promise<void>((resolve) => {
            if (port.isOpen) port.close(() => resolve());
            else resolve();
          });
          await pair.close();
        },
      };
    };
    await plugIn();
    const at = `${kind}:${join(folder, "outer")}`;
    return {
      at,
      goneReason:
        kind === "serial"
          ? "the serial adapter was unplugged, or the device is gone"
          : "the device does not answer, or was unplugged",
      connections: () => connections,
      connect: async (instrument) => {
        await plugging;
        connections += 1;
        return connectWire({ ...instrument, at });
      },
      async close() {
        await plugging;
        await end?.close();
        await rm(folder, { recursive: true, force: true });
      },
    };
  };

/** Every trouble is tried over a wire in memory, a real socket, and pseudo-terminals. */
export const stages: readonly (readonly [string, (script: Script) => Promise<Stage>])[] = [
  ["a wire in memory", inMemory],
  ["a TCP socket", overTcp],
  ["a serial line", overTerminal("serial")],
  ["a USB-TMC file", overTerminal("usbtmc")],
];

export const readoutEntry = (
  changes: Partial<Extract<InstrumentEntryInput, { role: "item" | "source" | "readout" }>> = {},
): InstrumentEntry =>
  instrumentEntrySchema.parse({
    entry: "test-readout",
    revision: 1,
    title: "Readout of the tests",
    role: "readout",
    transport: [{ kind: "tcp-socket" }, { kind: "serial" }, { kind: "usb-tmc" }],
    timeout: 0.5,
    retries: 1,
    identify: {},
    onConnect: ["*CLS"],
    errors: { ask: "SYSTem:ERRor?" },
    read: {
      Ω: { ask: "MEASure:FRESistance? (@{input})", answers: "Ω", inputs: { first: 1, last: 4 } },
      mV: { ask: "MEASure:VOLTage:DC? (@{input})", answers: "V", inputs: { first: 1, last: 4 } },
    },
    ...changes,
  });

/** Frames as short lines: "> sent", "< received", "! discarded", "+ opened", "- closed". */
export const transcript = () => {
  const lines: string[] = [];
  const marks = { sent: ">", received: "<", discarded: "!", opened: "+", closed: "-" } as const;
  return {
    observe: ({ direction, text }: Frame) => {
      lines.push(direction === "opened" || direction === "closed" ? marks[direction] : `${marks[direction]} ${text}`);
    },
    lines,
    /** Forgets what was noted so far: the opening, mostly. */
    clear: () => lines.splice(0),
  };
};
