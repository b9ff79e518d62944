import { firstTransport, type InstrumentEntry } from "#instruments";
import type { FaultBoard } from "../plant/live-faults.ts";
import { declaredDialogue } from "./declared-dialogue.ts";
import { lineService, type LineService } from "./line-service.ts";
import { listenModbus, serveModbusOn } from "./modbus-listener.ts";
import { openPtyPair } from "./pty-pair.ts";
import { registerTwin, type RegisterTwin } from "./register-twin.ts";
import type { RolePort } from "./role-ports.ts";
import { commandsOf } from "./roles.ts";
import { scpiInstrument } from "./scpi-instrument.ts";
import { listenOnSerial } from "./serial-listener.ts";
import { talkTwin } from "./talk-twin.ts";
import { listenOn, type TcpListener } from "./tcp-listener.ts";

/** A simulated instrument in the language of its entry. */
export type Twin =
  | { readonly kind: "lines"; readonly service: LineService; close(): void }
  | { readonly kind: "registers"; readonly registers: RegisterTwin; readonly entry: string; close(): void };

const titles = {
  source: "simulated heat source",
  readout: "simulated readout",
  item: "simulated maintenance channel",
} as const;

/**
 * What a twin says of itself, in the four fields of IEEE 488.2: another entry's twin in its place must be seen to be
 * another, as another make of instrument would be. What the entry expects to hear is in it.
 */
const identificationOf = (id: string, entry: InstrumentEntry | undefined, role: RolePort["role"]): string => {
  if (entry === undefined || entry.dialogue === "registers" || entry.dialogue === "talk-only")
    return `Dwellpoint,${titles[role]},${id},1`;
  const said = `Dwellpoint,simulated ${entry.entry}`;
  const expected = entry.identify.expect ?? "";
  const heard = `${said},${id},1`.toLowerCase().includes(expected.toLowerCase());
  return `${said}${heard ? "" : ` ${expected.replaceAll(",", " ")}`},${id},1`;
};

const lineEnds = { lf: "\n", crlf: "\r\n", cr: "\r" } as const;

export const twinOf = (options: {
  readonly id: string;
  /** Absent: an instrument that speaks the words of IEEE 488.2 and SCPI. */
  readonly entry: InstrumentEntry | undefined;
  readonly role: RolePort;
  readonly faults: FaultBoard;
  readonly clock: { now(): number };
  readonly catchUp: () => number;
}): Twin => {
  const { id, entry, role, faults, clock, catchUp } = options;
  if (entry?.dialogue === "registers") {
    const registers = registerTwin({ id, entry, role, faults, catchUp });
    return { kind: "registers", registers, entry: entry.entry, close: () => undefined };
  }
  if (entry?.dialogue === "talk-only" && role.role === "readout") {
    const end = lineEnds[firstTransport<{ readonly end: keyof typeof lineEnds }>(entry).end];
    const service = talkTwin({ id, entry, port: role.port, faults, now: () => clock.now(), catchUp, end });
    return { kind: "lines", service, close: () => service.close() };
  }
  const identification = identificationOf(id, entry, role.role);
  const standard = scpiInstrument({
    identification,
    commands: commandsOf(role),
    reset: () => {
      if (role.role === "source") role.port.switchOutput(false);
    },
  });
  const declared =
    entry === undefined || entry.dialogue === "talk-only" ? null : declaredDialogue(entry, role, identification);
  const instrument = {
    execute(message: string) {
      if (declared === null || standard.knows(message)) return standard.execute(message);
      const answer = declared(message);
      return answer === undefined ? standard.execute(message) : answer;
    },
  };
  return { kind: "lines", service: lineService({ id, instrument, faults, catchUp }), close: () => undefined };
};

/** Puts a twin on a socket of this machine, or on a pseudo-terminal. */
export const listenTo = async (
  twin: Twin,
  where: "serial" | { readonly host: string; readonly port: number },
): Promise<TcpListener> => {
  if (twin.kind === "lines")
    return where === "serial" ? listenOnSerial(twin.service) : listenOn(twin.service, where.host, where.port);
  if (where !== "serial") return listenModbus(twin.registers, where.host, where.port);
  const pair = await openPtyPair();
  const server = await serveModbusOn(twin.registers, pair.inner, { baudRate: 19_200, parity: "even" });
  return {
    address: `modbus-rtu:${pair.outer}#1`,
    async close() {
      await server.close();
      await pair.close();
    },
  };
};
