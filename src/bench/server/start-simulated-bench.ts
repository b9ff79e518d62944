import { Fault, failure, success } from "#fault";
import type { BenchChannel, BenchInstrument, ConnectInstrument, InstrumentEntry } from "#instruments";
import { createPlant, type Plant } from "../plant/plant.ts";
import {
  simulatedFaultSchema,
  simulationSchema,
  type Simulation,
  type SimulatedFaultInput,
} from "../plant/simulation.ts";
import type { StatedItem, StatedKit } from "../plant/stated-kit.ts";
import { memoryWire } from "./memory-wire.ts";
import { rolePort } from "./role-ports.ts";
import type { TcpListener } from "./tcp-listener.ts";
import { listenTo, twinOf, type Twin } from "./twin.ts";

export interface SimulatedBenchOptions {
  /** Contents of `bench.simulation`; checked here. Absent: all defaults. */
  readonly simulation?: unknown;
  readonly instruments: readonly (Pick<BenchInstrument, "id" | "role"> & { readonly entry?: string | undefined })[];
  /** Catalogue entries: an instrument whose entry is here speaks its language; any other speaks SCPI. */
  readonly entries?: readonly InstrumentEntry[] | undefined;
  readonly channels: Readonly<Record<string, BenchChannel>>;
  /** What the job says of kit and items; hidden errors are drawn within what is stated there. */
  readonly kit?: StatedKit | undefined;
  readonly items?: readonly StatedItem[] | undefined;
  /** The run's clock; the plant begins at its present time. */
  readonly clock: { now(): number };
  /** In place of the simulation's own seed; 1 where neither is given. */
  readonly seed?: number | undefined;
  /** Day of the run, year-month-day. */
  readonly day?: string | undefined;
  /** Trims that items have already, K: what a run did before it was resumed. */
  readonly trims?: readonly { readonly item: string; readonly zero: number; readonly span: number }[] | undefined;
  /**
   * Sockets: `false` for wires in memory alone. Otherwise `ports` names the port of an instrument, the others take one each
   * from `port` on, and any free ones where neither is said.
   */
  readonly listen?:
    | false
    | {
        readonly host?: string | undefined;
        readonly port?: number | undefined;
        readonly ports?: Readonly<Record<string, number>> | undefined;
        /** Instruments that are to be on pseudo-terminals, as on a serial line; needs the program socat. */
        readonly serial?: readonly string[] | undefined;
      }
    | undefined;
}

export interface SimulatedBench {
  /** `tcp://host:port` of each instrument; empty when it does not listen. */
  readonly addresses: Readonly<Record<string, string>>;
  readonly seed: number;
  /** Wires in memory, by the instrument's name; fits `openBench`. */
  readonly connect: ConnectInstrument;
  /** The item's true error at a temperature, K: what it would indicate at exactly that temperature, less it. */
  truth(item: string, temperature: number, at?: number): number;
  /** Plugs a probe in that says something of itself, in the words of the entry; null unplugs it. Other readings stay as they are. */
  plug(channel: string, says: string | null): void;
  /** A fault while the bench runs. The result ends it. Throws a Fault when it is not described rightly. */
  fault(fault: SimulatedFaultInput): { clear(): void };
  readonly plant: Plant;
  close(): Promise<void>;
}

const checked = <T>(
  schema: {
    safeParse(
      value: unknown,
    ):
      | { success: true; data: T }
      | { success: false; error: { issues: readonly { path: PropertyKey[]; message: string }[] } };
  },
  value: unknown,
  place: string,
): T => {
  const parsed = schema.safeParse(value);
  if (parsed.success) return parsed.data;
  const words = parsed.error.issues.map(({ path, message }) => `${[place, ...path.map(String)].join(".")}: ${message}`);
  throw new Fault("job.invalid", `The simulated bench cannot be built. ${words.join("; ")}`, {
    data: { issues: words },
  });
};

const sourceRange = (simulation: Simulation, plant: Plant, kit: StatedKit | undefined) =>
  simulation.source.class === undefined && kit !== undefined
    ? kit.source.range
    : { minimum: plant.plan.source.minimum, maximum: plant.plan.source.maximum };

/**
 * Builds the plant, puts an instrument of each role in front of it and, unless told otherwise, each on a loopback socket.
 * Throws a Fault: `job.invalid` for a simulation that makes no sense, `station.port-in-use` for a port that is taken.
 */
export const startSimulatedBench = async (options: SimulatedBenchOptions): Promise<SimulatedBench> => {
  const { instruments, channels, clock, kit, items, day } = options;
  const simulation = checked(simulationSchema, options.simulation ?? {}, "bench.simulation");
  const seed = options.seed ?? simulation.seed ?? 1;
  const sources = instruments.filter(({ role }) => role === "source").map(({ id }) => id);
  const plant = createPlant({ simulation, channels, sources, kit, items, day, seed, startAt: clock.now() });
  for (const { item, zero, span } of options.trims ?? []) {
    if (!plant.trim(item, zero, span))
      throw new Fault("job.invalid", `The simulated bench has no item "${item}" to adjust.`);
  }
  const catchUp = () => {
    const time = clock.now();
    plant.advanceTo(time);
    return time;
  };

  const plugged = new Map(Object.entries(simulation.probes));
  const range = sourceRange(simulation, plant, kit);
  const twins = new Map<string, Twin>(
    instruments.map((instrument) => [
      instrument.id,
      twinOf({
        id: instrument.id,
        entry: options.entries?.find(({ entry }) => entry === instrument.entry),
        role: rolePort(instrument, plant, channels, range, plugged),
        faults: plant.faults,
        clock,
        catchUp,
      }),
    ]),
  );

  const listeners = new Map<string, TcpListener>();
  const closeAll = async () => {
    await Promise.all([...listeners.values()].map((listener) => listener.close()));
  };
  if (options.listen !== false) {
    const { host = "127.0.0.1", port = 0, ports = {}, serial = [] } = options.listen ?? {};
    let next = port;
    try {
      for (const [id, twin] of twins) {
        const own = ports[id];
        listeners.set(id, await listenTo(twin, serial.includes(id) ? "serial" : { host, port: own ?? next }));
        if (own === undefined && next !== 0) next += 1;
      }
    } catch (error) {
      await closeAll();
      throw error;
    }
  }

  const wires = new Set<{ close(): void }>();
  return {
    addresses: Object.fromEntries([...listeners].map(([id, { address }]) => [id, address])),
    seed,
    plant,
    connect: ({ id }) => {
      const twin = twins.get(id);
      if (twin === undefined || twin.kind === "registers") {
        return Promise.resolve(
          failure(
            "instrument.unreachable",
            twin === undefined
              ? `the simulated bench has no instrument "${id}"`
              : `instrument "${id}" of the simulated bench speaks Modbus and is reached at its address`,
          ),
        );
      }
      const wire = memoryWire(twin.service, () => wires.delete(wire));
      wires.add(wire);
      return Promise.resolve(success(wire));
    },
    truth: (item, temperature, at) => plant.truth(item, temperature, at),
    plug: (channel, says) => {
      if (channels[channel] === undefined)
        throw new Fault("job.invalid", `The simulated bench has no channel "${channel}" to plug a probe into.`);
      if (says === null) plugged.delete(channel);
      else plugged.set(channel, says);
    },
    fault: (fault) => plant.faults.add(checked(simulatedFaultSchema, fault, "fault")),
    async close() {
      for (const wire of wires) wire.close();
      for (const twin of twins.values()) twin.close();
      await closeAll();
    },
  };
};
