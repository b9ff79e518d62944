import { createInterface } from "node:readline";
import type { Readable } from "node:stream";
import { z } from "zod";
import { scaledClock, simulatedFaultSchema, startSimulatedBench, type SimulatedBench } from "#bench";
import { Fault } from "#fault";
import type { InstrumentEntry } from "#instruments";
import { demoBench, twinBench } from "../bench/demo-bench.ts";
import { readSimulatedBench, type SimulatedBenchFile } from "../bench/read-simulated-bench.ts";
import { readCatalog } from "../catalog.ts";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { readNumber, readWords } from "../words.ts";

const help = `
dwellpoint simulate [BENCH] [--speed N] [--port P] [--seed S] [--serial]
dwellpoint simulate --list

Starts simulated instruments on loopback sockets and keeps them running until it is stopped (Ctrl-C or SIGTERM).
BENCH is a job file or a bench file (instruments, channels, simulation), YAML or JSON, or the name of a catalogue entry: then
it is a bench with that one instrument. Without one: a dry block, a readout, a thermocouple, a Pt100 and a transmitter.

  --list      the entries that have a twin here, and the faults that can be asked for
  --speed N   how many times faster than real time, 0.01 to 1000; 1 where it is left out
  --port P    first port; the instruments take one each from there on. Where it is left out: the ports that BENCH gives its
              instruments on this machine, else any free ones
  --seed S    what is hidden and what is random follows from it; the bench's own, else 1, where it is left out
  --serial    on pseudo-terminals, as on serial lines (needs the program socat)

Prints one line: {"addresses":{"INSTRUMENT":"tcp://127.0.0.1:PORT"},"channels":{…},"seed","speed"}.
Each instrument speaks the language of its entry: IEEE 488.2 and SCPI-1999 words, the entry's own words, Modbus registers, or
a line a value unasked. Any number of clients may be connected.

Faults while it runs: a JSON line on standard input, for example {"kind":"open-circuit","channel":"item-1"}, is answered with
{"fault":1}; {"clear":1} ends it. {"plug":"reference","says":"TEDS in hexadecimal, or a serial number"} plugs another probe in
where the readout's entry has a question for it, {"plug":"reference","says":null} unplugs it.
`;

/** Another probe on a channel, or none. */
const plugRequestSchema = z.strictObject({ plug: z.string(), says: z.string().max(10_000).nullable() });

const untilStopped = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    if (signal.aborted) resolve();
    else signal.addEventListener("abort", () => resolve(), { once: true });
  });

/** Faults on request: a line asks for one or ends one, a line answers. What is not understood is answered with what is. */
const takeFaults = (stdin: Readable, bench: SimulatedBench, answer: (value: unknown) => void): (() => void) => {
  const running = new Map<number, { clear(): void }>();
  let last = 0;
  const take = (line: string) => {
    const asked: unknown = JSON.parse(line);
    const plug = plugRequestSchema.safeParse(asked);
    if (plug.success) {
      bench.plug(plug.data.plug, plug.data.says);
      answer({ plugged: plug.data.plug, says: plug.data.says });
      return;
    }
    const number = typeof asked === "object" && asked !== null && "clear" in asked ? Number(asked.clear) : null;
    if (number === null) {
      const fault = bench.fault(asked as Parameters<SimulatedBench["fault"]>[0]);
      last += 1;
      running.set(last, fault);
      answer({ fault: last });
      return;
    }
    const fault = running.get(number);
    if (fault === undefined) throw new Fault("input.invalid", `There is no fault ${number} to clear.`);
    fault.clear();
    running.delete(number);
    answer({ cleared: number });
  };
  const lines = createInterface({ input: stdin });
  lines.on("line", (line) => {
    if (line.trim() === "") return;
    try {
      take(line);
    } catch (error) {
      const fault = error instanceof Fault ? error : null;
      answer({
        error: { code: fault?.code ?? "input.malformed", message: fault?.message ?? `This is not JSON: ${line}` },
      });
    }
  });
  return () => lines.close();
};

const list = (entries: readonly InstrumentEntry[]) => ({
  entries: entries.map(({ entry, title, role, dialogue, transport }) => ({
    entry,
    title,
    role,
    dialogue: dialogue ?? "questions",
    transports: [transport].flat().map(({ kind }) => kind),
  })),
  faults: simulatedFaultSchema.options.map((option) => ({
    kind: [...option.shape.kind.values][0],
    on: "channel" in option.shape ? "channel" : "instrument",
  })),
});

const described = async (
  path: string | undefined,
  entries: readonly InstrumentEntry[],
): Promise<SimulatedBenchFile> => {
  if (path === undefined) return demoBench;
  const entry = entries.find((each) => each.entry === path);
  return entry === undefined ? readSimulatedBench(path) : twinBench(entry);
};

const run = async (words: readonly string[], { stdin, stdout, signal, home }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("simulate", words, {
    list: { type: "boolean" },
    serial: { type: "boolean" },
    speed: { type: "string" },
    port: { type: "string" },
    seed: { type: "string" },
  });
  const [path, extra] = positionals;
  if (extra !== undefined) {
    throw new Fault(
      "usage.wrong",
      `simulate takes one file, not "${extra}" too. dwellpoint simulate --help tells what it takes.`,
    );
  }
  const entries = readCatalog(home);
  const say = (value: unknown) => stdout.write(`${JSON.stringify(value)}\n`);
  if (values.list === true) {
    say(list(entries));
    return 0;
  }
  const speed = values.speed === undefined ? 1 : readNumber("speed", values.speed, { least: 0.01, most: 1000 });
  const port =
    values.port === undefined ? undefined : readNumber("port", values.port, { least: 1, most: 65_000, whole: true });
  const seed =
    values.seed === undefined
      ? undefined
      : readNumber("seed", values.seed, { least: 0, most: Number.MAX_SAFE_INTEGER, whole: true });

  const { ports, ...bench } = await described(path, entries);
  const serial = values.serial === true ? bench.instruments.map(({ id }) => id) : [];
  const simulated = await startSimulatedBench({
    ...bench,
    entries,
    clock: scaledClock({ speed }),
    seed,
    listen: port === undefined ? { ports, serial } : { port, serial },
  });
  say({ addresses: simulated.addresses, channels: bench.channels, seed: simulated.seed, speed });
  const stopTaking = takeFaults(stdin, simulated, say);
  await untilStopped(signal);
  stopTaking();
  await simulated.close();
  return 0;
};

export const simulate: Command = {
  name: "simulate",
  summary: "simulated instruments on loopback sockets until stopped",
  help,
  run,
};
