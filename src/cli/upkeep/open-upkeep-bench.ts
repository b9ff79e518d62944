import { lockStepClock, startSimulatedBench, type Plant, type Simulation, type SimulationInput } from "#bench";
import { wiredChannels } from "#calibration";
import type { Clock } from "#engine";
import { Fault } from "#fault";
import {
  connectWire,
  listSerialPorts,
  modbusBuses,
  openBench,
  type InstrumentBench,
  type InstrumentEntry,
} from "#instruments";
import type { Arrangement, UpkeepPlan } from "#upkeep";
import { wallClock } from "../bench/wall-clock.ts";
import type { UpkeepBench } from "./upkeep-file.ts";

/** The bench of a procedure, connected. */
export interface OpenUpkeepBench {
  readonly bench: InstrumentBench;
  readonly clock: Clock;
  readonly simulated: boolean;
  /** Puts things where a person would on the simulated bench; null on a real one, where a person must. */
  readonly arrange: ((place: Arrangement) => void) | null;
  close(): Promise<void>;
}

export interface UpkeepBenchRequest {
  readonly plan: UpkeepPlan;
  readonly bench: UpkeepBench;
  readonly entries: readonly InstrumentEntry[];
  readonly speed: number;
  readonly seed: number;
}

const everyTransport = () => ({
  connect: connectWire,
  connectRegisters: modbusBuses(),
  serialPorts: async () => (await listSerialPorts()).map(({ path }) => path),
});

/** What the twin is made of where the file does not say: the sensors of the procedure's own thermometers. */
const simulationOf = ({ plan, bench }: UpkeepBenchRequest): SimulationInput => {
  const said: Partial<Simulation> = bench.simulation ?? {};
  const source = plan.kind === "characterisation" ? { class: plan.source.class } : {};
  if (plan.kind === "characterisation" || plan.kind === "pull-test") {
    const moved =
      plan.moved === undefined ? {} : { moved: { deviation: {}, ...said.items?.["moved"], sensor: plan.moved.sensor } };
    return {
      ...said,
      source: { ...source, ...said.source },
      reference: { sensor: plan.fixed.sensor, ...said.reference, channel: "fixed" },
      items: { ...said.items, ...moved },
    } as SimulationInput;
  }
  const fixed =
    plan.kind === "self-heating" && plan.fixed !== undefined
      ? { fixed: { deviation: {}, sensor: plan.fixed.sensor } }
      : {};
  return {
    ...said,
    reference: { sensor: plan.reference.sensor, ...said.reference, channel: "reference" },
    items: { ...said.items, ...fixed },
  } as SimulationInput;
};

/** In the plant a thermometer is put to an ice point, or taken back; the rest is a place in the source. */
const arrangeIn = (plant: Plant) => (place: Arrangement) => {
  const { point, ...inSource } = place;
  if (point !== undefined) plant.placeReference(point === "source" ? "source" : "ice-point");
  plant.arrange(inSource);
};

const openTwin = async (request: UpkeepBenchRequest): Promise<OpenUpkeepBench> => {
  const { bench, entries, speed, seed } = request;
  const clock = lockStepClock({ speed });
  const channels = wiredChannels(bench);
  const twin = await startSimulatedBench({
    simulation: simulationOf(request),
    instruments: bench.instruments,
    entries,
    channels,
    clock,
    seed: bench.simulation?.seed ?? seed,
  });
  const port = openBench({
    instruments: bench.instruments.map((each) => ({ ...each, at: twin.addresses[each.id]! })),
    channels,
    entries,
    ...everyTransport(),
    clock,
  });
  return {
    bench: port,
    clock,
    simulated: true,
    arrange: arrangeIn(twin.plant),
    async close() {
      await port.close();
      await twin.close();
    },
  };
};

/** Real instruments in real time, or the twin of a bench that is "simulated" throughout. @throws Fault where the two are mixed */
export const openUpkeepBench = async (request: UpkeepBenchRequest): Promise<OpenUpkeepBench> => {
  const { bench, entries, speed } = request;
  const simulated = bench.instruments.filter(({ at }) => at === "simulated");
  if (simulated.length > 0 && simulated.length < bench.instruments.length)
    throw new Fault(
      "input.invalid",
      'The bench mixes simulated instruments with real ones. Write "simulated" as the place of all of them, or of none.',
    );
  if (simulated.length > 0) return openTwin(request);
  if (speed !== 1) throw new Fault("usage.wrong", "Real instruments cannot be hurried. Leave --speed out.");
  const clock = wallClock(0);
  const port = openBench({
    instruments: bench.instruments,
    channels: wiredChannels(bench),
    entries,
    ...everyTransport(),
    clock,
  });
  return { bench: port, clock, simulated: false, arrange: null, close: () => port.close() };
};
