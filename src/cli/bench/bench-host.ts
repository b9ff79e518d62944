import { lockStepClock, startSimulatedBench } from "#bench";
import { wiredChannels, type Job } from "#calibration";
import type { BenchPort } from "#engine";
import { Fault, success, unwrap } from "#fault";
import {
  connectWire,
  instrumentEntrySchema,
  listSerialPorts,
  modbusBuses,
  openBench,
  type BenchInstrument,
  type InstrumentEntry,
} from "#instruments";
import type { BenchHost, BenchRequest, CatalogEntry, HostedBench } from "#station";
import { wallClock } from "./wall-clock.ts";

/**
 * Whether the job's bench is simulated. Throws where some instruments are and others are not: truth cannot be half invented.
 * Where everything is read and set by hand there is nothing to simulate but time, and that only in a rehearsal.
 */
const isSimulated = (job: Job): boolean => {
  const simulated = job.bench.instruments.filter(({ at }) => at === "simulated");
  if (simulated.length > 0 && simulated.length < job.bench.instruments.length) {
    const real = job.bench.instruments.filter(({ at }) => at !== "simulated").map(({ id }) => id);
    throw new Fault(
      "job.invalid",
      `The bench mixes simulated instruments with real ones (${real.join(", ")}). Write "simulated" as the place of all of them, or of none.`,
    );
  }
  return simulated.length > 0 || (job.rehearsal && job.bench.instruments.length === 0);
};

const entriesOf = (catalog: readonly CatalogEntry[]): InstrumentEntry[] =>
  catalog.map((entry) => {
    const parsed = instrumentEntrySchema.safeParse(entry);
    if (parsed.success) return parsed.data;
    const [issue] = parsed.error.issues;
    throw new Fault(
      "instrument.entry-invalid",
      `Catalogue entry "${String(entry["entry"])}" cannot be used: ${issue?.path.join(".") ?? ""} ${issue?.message ?? ""}.`,
    );
  });

/** Every way to an instrument that this machine has. */
const everyTransport = () => ({
  connect: connectWire,
  connectRegisters: modbusBuses(),
  serialPorts: async () => (await listSerialPorts()).map(({ path }) => path),
});

/**
 * The simulated bench on loopback sockets, reached through the same instrument layer as any other. Its clock is lock-step.
 * When a run goes on after a restart the plant begins at its start temperature, as a source that was switched off and has
 * cooled; the hidden errors and earlier adjustments are the same as before.
 */
const openSimulated = async (request: BenchRequest): Promise<HostedBench> => {
  const { job, catalog, from, seed, speed, trims, opened } = request;
  const clock = lockStepClock({ speed, startedAt: from });
  const bench = await startSimulatedBench({
    simulation: job.bench.simulation,
    instruments: job.bench.instruments,
    entries: entriesOf(catalog),
    channels: wiredChannels(job.bench),
    kit: job.kit,
    items: job.items,
    clock,
    ...(seed === null ? {} : { seed }),
    day: opened.slice(0, 10),
    trims,
  });
  const instruments: BenchInstrument[] = job.bench.instruments.map((instrument) => ({
    ...instrument,
    at: bench.addresses[instrument.id]!,
  }));
  const port = openBench({
    instruments,
    channels: wiredChannels(job.bench),
    entries: entriesOf(catalog),
    ...everyTransport(),
    clock,
  });
  return {
    bench: {
      ...port,
      async placeReference(where) {
        bench.plant.placeReference(where === "ice-point" ? "ice-point" : "source");
        return success(null);
      },
      fitReference: async ({ sensor }) => bench.plant.fitReference(sensor),
    },
    probe: (channel) => port.probe(channel),
    clock,
    speed,
    async close() {
      await port.close();
      await bench.close();
    },
  };
};

/** Time may go faster than the wall only where it is invented: the first field that `simulate` gives of itself says so. */
const refuseHurry = async (port: BenchPort, speed: number): Promise<void> => {
  if (speed === 1) return;
  const identities = unwrap(await port.prepare());
  const real = identities.find(({ identification }) => !identification.startsWith("Dwellpoint,simulated "));
  if (real === undefined && Number.isFinite(speed)) return;
  await port.close();
  throw new Fault(
    "job.invalid",
    real === undefined
      ? "A bench in another process goes at a speed of its own: give run and simulate the same number as --speed, not max."
      : `Instrument "${real.instrument}" is a real one (${real.identification}); its time cannot be hurried. Leave --speed out.`,
  );
};

/** Real instruments, or `simulate` in another process: wall time, from the run's opening on, and never behind its log. */
const openReal = async ({ job, catalog, from, opened, speed }: BenchRequest): Promise<HostedBench> => {
  const since = (Date.now() - Date.parse(opened)) / 1000;
  const clock = wallClock(Math.max(from, speed === 1 ? since : from), speed);
  const port = openBench({
    instruments: job.bench.instruments,
    channels: wiredChannels(job.bench),
    entries: entriesOf(catalog),
    ...everyTransport(),
    clock,
  });
  await refuseHurry(port, speed);
  return { bench: port, probe: (channel) => port.probe(channel), clock, speed, close: () => port.close() };
};

/** The program's host of benches: `catalog` are the entries of the catalogue folder, read and checked. */
export const benchHost = (catalog: readonly CatalogEntry[]): BenchHost => ({
  isSimulated,
  catalogOf(job) {
    const names = [...new Set(job.bench.instruments.map(({ entry }) => entry))];
    return names.map((name) => {
      const entry = catalog.find((each) => each["entry"] === name);
      if (entry !== undefined) return entry;
      const known = catalog.map((each) => String(each["entry"])).join(", ");
      throw new Fault(
        "instrument.entry-invalid",
        `The job names catalogue entry "${name}", which is not in catalog/instruments. There are: ${known}.`,
      );
    });
  },
  open: async (request) => (isSimulated(request.job) ? openSimulated(request) : openReal(request)),
});
