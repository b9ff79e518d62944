import { readFile } from "node:fs/promises";
import { z } from "zod";
import { simulationSchema, type SimulatedBenchOptions } from "#bench";
import { benchSchema, wiredChannels } from "#calibration";
import { Fault, unwrap } from "#fault";
import { loadDocument, loadJob, readDocument, writtenSchema, type JsonSchema } from "#intake";
import { parseAddress } from "#instruments";

/** What `simulate` needs to know of a bench. */
export type SimulatedBenchFile = Pick<
  SimulatedBenchOptions,
  "instruments" | "channels" | "simulation" | "kit" | "items"
> & {
  /** Ports that the file itself gives its instruments on this machine. */
  readonly ports: Readonly<Record<string, number>>;
};

const benchFileSchema = benchSchema.extend({ simulation: simulationSchema.optional() });
const simulationOfJobSchema = z.looseObject({ bench: z.looseObject({ simulation: simulationSchema.optional() }) });

const thisMachine = new Set(["127.0.0.1", "localhost"]);

/** Ports of instruments whose address is on this machine: there `run` will look for them. */
const portsOf = (instruments: readonly { readonly id: string; readonly at: string }[]): Record<string, number> =>
  Object.fromEntries(
    instruments.flatMap(({ id, at }) => {
      const address = at === "simulated" ? null : parseAddress(at);
      if (address?.ok !== true || !("host" in address.value)) return [];
      const { host, port } = address.value;
      return thisMachine.has(host) ? [[id, port]] : [];
    }),
  );

/**
 * Checks what a job says of its simulated bench, each error with its line: the job's own schema leaves that part open.
 * Throws a Fault `job.invalid`.
 */
export const checkSimulation = (text: string, name: string): void => {
  unwrap(loadDocument(text, name, simulationOfJobSchema, { code: "job.invalid" }));
};

const readText = async (path: string): Promise<string> => {
  try {
    return await readFile(path, "utf8");
  } catch (thrown) {
    const reason = thrown instanceof Error && "code" in thrown ? String(thrown.code) : String(thrown);
    throw new Fault(
      "input.invalid",
      `The file ${path} cannot be read (${reason}). Give the path of a job or of a bench.`,
      {
        data: { path },
        cause: thrown,
      },
    );
  }
};

/** Reads a job file, or a bench file (instruments, channels, simulation), YAML or JSON. Throws a Fault that names the line. */
export const readSimulatedBench = async (path: string): Promise<SimulatedBenchFile> => {
  const text = await readText(path);
  const { value } = unwrap(readDocument(text, path, "job.invalid"));
  if (typeof value === "object" && value !== null && "job" in value) {
    const { bench, kit, items } = unwrap(loadJob(text, path));
    checkSimulation(text, path);
    return { ...bench, channels: wiredChannels(bench), kit, items, ports: portsOf(bench.instruments) };
  }
  const bench = unwrap(loadDocument(text, path, benchFileSchema, { code: "job.invalid" }));
  return { ...bench, channels: wiredChannels(bench), ports: portsOf(bench.instruments) };
};

/** The JSON schema of a bench file, for editors. */
export const benchFileJsonSchema = (): JsonSchema =>
  writtenSchema(
    benchFileSchema,
    "Bench file",
    "Instruments, channels and what a simulated bench is made of. Temperatures in °C, differences in K, times in s.",
  );
