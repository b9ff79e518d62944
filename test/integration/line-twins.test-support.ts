import { createServer, type AddressInfo, type Server, type Socket } from "node:net";

/** A source and a readout on real sockets, with knobs for what makes them hang. */
export interface LineTwins {
  readonly source: string;
  readonly readout: string;
  /** What the source was last told, and every switching of its output with the moment, ms. */
  readonly state: { setPoint: number; output: boolean; switched: { on: boolean; at: number }[] };
  /** Those that do not answer now. */
  readonly silent: Set<"source" | "readout">;
  close(): Promise<void>;
}

const listen = async (
  answer: (message: string) => string | null,
): Promise<{ server: Server; at: string; drop(): void }> => {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on("error", () => undefined);
    socket.on("close", () => sockets.delete(socket));
    let rest = "";
    socket.setEncoding("utf8").on("data", (text: string) => {
      const lines = (rest + text).split("\n");
      rest = lines.pop()!;
      for (const line of lines) {
        const said = answer(line.trim());
        if (said !== null) socket.write(`${said}\n`);
      }
    });
  });
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  return {
    server,
    at: `tcp://127.0.0.1:${port}`,
    drop: () => {
      for (const socket of sockets) socket.destroy();
    },
  };
};

export const startLineTwins = async (): Promise<LineTwins> => {
  const state: LineTwins["state"] = { setPoint: 22, output: false, switched: [] };
  const silent = new Set<"source" | "readout">();
  const common = (message: string, name: string): string | null | undefined => {
    if (message === "*IDN?") return `Invented,${name},1,0`;
    if (message === "SYSTem:ERRor?") return '0,"No error"';
    return message === "*CLS" ? null : undefined;
  };
  const source = await listen((message) => {
    const told = /^SOURce:TEMPerature:SPOint (.+)$/.exec(message)?.[1];
    if (silent.has("source")) return null;
    if (told !== undefined) {
      state.setPoint = Number(told);
      return null;
    }
    if (message.startsWith("OUTPut:STATe O")) {
      state.output = message.endsWith("ON");
      state.switched.push({ on: state.output, at: performance.now() });
      return null;
    }
    if (message === "SOURce:TEMPerature:SPOint?") return state.setPoint.toFixed(3);
    if (message === "OUTPut:STATe?") return state.output ? "1" : "0";
    if (message === "MEASure:TEMPerature?") return "22.000";
    return common(message, "source") ?? null;
  });
  const readout = await listen((message) => {
    if (silent.has("readout")) return null;
    return message.startsWith("MEASure:FRESistance?") ? "108.5700" : (common(message, "readout") ?? null);
  });
  return {
    source: source.at,
    readout: readout.at,
    state,
    silent,
    async close() {
      for (const each of [source, readout]) {
        each.drop();
        await new Promise((resolve) => each.server.close(resolve));
      }
    },
  };
};
