import { createServer, type Socket } from "node:net";
import { success } from "#fault";
import { instrumentEntrySchema, type InstrumentEntry, type InstrumentEntryInput } from "../drivers/entry.ts";
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
    connections: () => connections,
    connect: () => connectTcp(at),
    close: () =>
      new Promise((resolve) => {
        for (const socket of sockets) socket.destroy();
        server.close(() => resolve());
      }),
  };
};

/** Every trouble is tried over a wire in memory and over a real socket. */
export const stages: readonly (readonly [string, (script: Script) => Promise<Stage>])[] = [
  ["a wire in memory", inMemory],
  ["a TCP socket", overTcp],
];

export const readoutEntry = (changes: Partial<InstrumentEntryInput> = {}): InstrumentEntry =>
  instrumentEntrySchema.parse({
    entry: "test-readout",
    revision: 1,
    title: "Readout of the tests",
    role: "readout",
    transport: { kind: "tcp-socket" },
    timeout: 0.08,
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
