import { scaledClock, startSimulatedBench, type SimulatedBench } from "#bench";
import { jobSchema, wiredChannels, type Job } from "#calibration";
import { unwrap } from "#fault";
import { loadDocument } from "#intake";
import { demoBench, twinBench } from "../../src/cli/bench/demo-bench.ts";
import { readCatalog } from "../../src/cli/catalog.ts";
import { exampleText, home } from "./program.test-support.ts";

export const catalog = readCatalog(home);

export interface StartedTwin {
  readonly at: string;
  readonly bench: SimulatedBench;
  /** May be called twice: the test's own end comes after it. */
  close(): Promise<void>;
}

/** The simulated twin of one entry, alone on its line. */
export const startTwin = async (name: string, how: { serial?: boolean; port?: number } = {}): Promise<StartedTwin> => {
  const entry = catalog.find(({ entry: each }) => each === name)!;
  const { ports: _, ...described } = twinBench(entry);
  const bench = await startSimulatedBench({
    ...described,
    entries: catalog,
    clock: scaledClock({ speed: 1 }),
    listen: { serial: how.serial === true ? described.instruments.map(({ id }) => id) : [], port: how.port },
  });
  let open = true;
  const close = async () => {
    if (open) await bench.close();
    open = false;
  };
  return { at: Object.values(bench.addresses)[0]!, bench, close };
};

export interface StoodExample {
  readonly job: Job;
  /** The job with the addresses of the instruments that stand there. */
  readonly text: string;
  readonly addresses: Readonly<Record<string, string>>;
  readonly bench: SimulatedBench;
}

/** An example's bench on sockets, and the text of its job with the addresses of these. */
export const standExample = async (): Promise<StoodExample> => {
  const { ports: _, ...described } = demoBench;
  const text = await exampleText("pt100-four-wire");
  const job = unwrap(loadDocument(text, "job.yaml", jobSchema));
  const bench = await startSimulatedBench({
    ...described,
    simulation: job.bench.simulation,
    instruments: job.bench.instruments,
    channels: wiredChannels(job.bench),
    kit: job.kit,
    items: job.items,
    entries: catalog,
    clock: scaledClock({ speed: 1 }),
  });
  const real = text.replaceAll(
    /\{id: ([\w-]+), entry: ([\w-]+), at: simulated/g,
    (_whole, id: string, entry: string) => `{id: ${id}, entry: ${entry}, at: "${bench.addresses[id]}"`,
  );
  return { job, text: real, addresses: bench.addresses, bench };
};
