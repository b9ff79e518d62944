import modbus from "modbus-serial";
import { failure, success, type Outcome } from "#fault";
import { parseAddress, type InstrumentAddress } from "../drivers/address.ts";
import type { Exchanged, RegisterLink } from "../drivers/register-link.ts";
import type { RegisterTransport } from "../drivers/transport.ts";
import type { Trouble } from "../drivers/trouble.ts";
import { reasonOf } from "./reasons.ts";

/** The library is a CommonJS module: its class is the default of its default. */
const Client = modbus.default;
type Client = InstanceType<typeof Client>;

type ModbusAddress = Extract<InstrumentAddress, { readonly unit: number }>;

/** Exception codes of the Modbus application protocol (7, from memory). */
const exceptions: Readonly<Record<number, string>> = {
  1: "illegal function",
  2: "illegal data address",
  3: "illegal data value",
  4: "server device failure",
  5: "acknowledged, still working",
  6: "server device busy",
  8: "memory parity error",
  10: "gateway path unavailable",
  11: "gateway target failed to respond",
};

interface Bus {
  readonly client: Client;
  /** How many instruments use it. */
  users: number;
  open: boolean;
  turn: Promise<unknown>;
}

const troubleOf = (thrown: unknown, timeout: number): Trouble => {
  const error = thrown as { name?: string; message?: string; errno?: string; modbusCode?: number };
  const text = error.message ?? String(thrown);
  if (error.modbusCode !== undefined) {
    const code = error.modbusCode;
    return { kind: "reported", errors: [{ code, text: exceptions[code] ?? "an exception without a name" }] };
  }
  if (error.name === "TransactionTimedOutError") return { kind: "silent", waited: timeout, half: "" };
  if (error.name === "PortNotOpenError") return { kind: "closed", reason: "the bus is not open" };
  if (/^(CRC error|Unexpected data|Data length)/.test(text))
    return { kind: "garbled", answer: text, wanted: "an answer that fits the question and its checksum" };
  return { kind: "closed", reason: thrown instanceof Error ? reasonOf(thrown) : text };
};

const wait = (seconds: number) =>
  new Promise<void>((resolve) => {
    setTimeout(resolve, seconds * 1000);
  });

const linkTo = (bus: Bus, address: ModbusAddress, leave: () => Promise<void>): RegisterLink => {
  const exchange = <T>(timeout: number, work: (client: Client) => Promise<T>): Promise<Exchanged<T>> => {
    const turn = bus.turn.then(async (): Promise<Exchanged<T>> => {
      if (!bus.open) return { kind: "closed", reason: "the bus is not open" };
      bus.client.setID(address.unit);
      bus.client.setTimeout(timeout * 1000);
      try {
        return { kind: "answer", value: await work(bus.client) };
      } catch (thrown) {
        const trouble = troubleOf(thrown, timeout);
        // On a serial line an answer carries no number of its question: a late one must not be taken for the next.
        if (address.kind === "modbus-rtu" && trouble.kind !== "reported") await wait(Math.min(timeout, 2));
        return trouble;
      }
    });
    bus.turn = turn;
    return turn;
  };
  return {
    read: (table, at, count, timeout) =>
      exchange(timeout, async (client) => {
        const ask = table === "holding" ? client.readHoldingRegisters : client.readInputRegisters;
        return (await ask.call(client, at, count)).data;
      }),
    write: (at, words, timeout) =>
      exchange(timeout, async (client) => {
        if (words.length === 1) await client.writeRegister(at, words[0]!);
        else await client.writeRegisters(at, [...words]);
        return null;
      }),
    readCoil: (at, timeout) => exchange(timeout, async (client) => (await client.readCoils(at, 1)).data[0] === true),
    writeCoil: (at, on, timeout) =>
      exchange(timeout, async (client) => {
        await client.writeCoil(at, on);
        return null;
      }),
    identification: (timeout) =>
      exchange(timeout, async (client) => {
        const { data } = await client.readDeviceIdentification(1, 0);
        // The library's types say an array; what comes is an object by the number of each text.
        return Object.values(data)
          .map((text) => text.trim())
          .join(",");
      }),
    close: leave,
  };
};

const openClient = async (address: ModbusAddress, transport: RegisterTransport): Promise<Client> => {
  const client = new Client();
  if (address.kind === "modbus-tcp") await client.connectTCP(address.host, { port: address.port, timeout: 5000 });
  else if (transport.kind === "modbus-rtu") {
    const { speed, dataBits, parity, stopBits } = transport;
    await client.connectRTUBuffered(address.path, { baudRate: speed, dataBits, parity, stopBits });
  }
  return client;
};

const closeClient = (client: Client) =>
  new Promise<void>((resolve) => {
    if (client.isOpen) client.close(() => resolve());
    else resolve();
  });

/**
 * Ways to Modbus instruments, for one bench. Instruments on the same serial line, or behind the same gateway, share one
 * connection and are asked one after the other; the units tell them apart.
 */
export const modbusBuses = () => {
  const buses = new Map<string, Promise<Bus>>();

  const busAt = (key: string, address: ModbusAddress, transport: RegisterTransport): Promise<Bus> => {
    const known = buses.get(key);
    if (known !== undefined) return known;
    const made = openClient(address, transport).then((client) => {
      const bus: Bus = { client, users: 0, open: true, turn: Promise.resolve() };
      const gone = () => {
        bus.open = false;
        buses.delete(key);
      };
      client.on("close", gone);
      client.on("error", gone);
      return bus;
    });
    buses.set(key, made);
    made.catch(() => buses.delete(key));
    return made;
  };

  return async ({
    at,
    transport,
  }: {
    readonly at: string;
    readonly transport: RegisterTransport;
  }): Promise<Outcome<RegisterLink>> => {
    const parsed = parseAddress(at);
    if (!parsed.ok) return parsed;
    const address = parsed.value;
    if (address.kind !== "modbus-tcp" && address.kind !== "modbus-rtu")
      return failure("instrument.unreachable", `"${at}" is no address on a Modbus bus`);
    const key = address.kind === "modbus-tcp" ? `${address.host}:${address.port}` : address.path;
    try {
      const bus = await busAt(key, address, transport);
      bus.users += 1;
      return success(
        linkTo(bus, address, async () => {
          bus.users -= 1;
          if (bus.users > 0 || !bus.open) return;
          buses.delete(key);
          await closeClient(bus.client);
        }),
      );
    } catch (error) {
      const reason = error instanceof Error ? reasonOf(error) : String(error);
      return failure("instrument.unreachable", address.kind === "modbus-rtu" ? `${address.path}: ${reason}` : reason);
    }
  };
};
