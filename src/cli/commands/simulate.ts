import { scaledClock, startSimulatedBench } from "#bench";
import { Fault } from "#fault";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { demoBench } from "../bench/demo-bench.ts";
import { readSimulatedBench } from "../bench/read-simulated-bench.ts";
import { readNumber, readWords } from "../words.ts";

const help = `
dwellpoint simulate [BENCH] [--speed N] [--port P] [--seed S]

Starts simulated instruments on loopback sockets and keeps them running until it is stopped (Ctrl-C or SIGTERM).
BENCH is a job file or a bench file (instruments, channels, simulation), YAML or JSON. Without one: a dry block, a readout,
a thermocouple, a Pt100 and a transmitter.

  --speed N   how many times faster than real time, 0.01 to 1000; 1 where it is left out
  --port P    first port; the instruments take one each from there on. Where it is left out: the ports that BENCH gives its
              instruments on this machine, else any free ones
  --seed S    what is hidden and what is random follows from it; the bench's own, else 1, where it is left out

Prints one line: {"addresses":{"INSTRUMENT":"tcp://127.0.0.1:PORT"},"channels":{…},"seed","speed"}.
Each instrument answers IEEE 488.2 and SCPI-1999 words, a line each: *IDN?, MEASure:TEMPerature?, SYSTem:ERRor? and so on.
`;

const untilStopped = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    if (signal.aborted) resolve();
    else signal.addEventListener("abort", () => resolve(), { once: true });
  });

const run = async (words: readonly string[], { stdout, signal }: Surroundings): Promise<ExitCode> => {
  const { values, positionals } = readWords("simulate", words, {
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
  const speed = values.speed === undefined ? 1 : readNumber("speed", values.speed, { least: 0.01, most: 1000 });
  const port =
    values.port === undefined ? undefined : readNumber("port", values.port, { least: 1, most: 65_000, whole: true });
  const seed =
    values.seed === undefined
      ? undefined
      : readNumber("seed", values.seed, { least: 0, most: Number.MAX_SAFE_INTEGER, whole: true });

  const { ports, ...described } = path === undefined ? demoBench : await readSimulatedBench(path);
  const bench = await startSimulatedBench({
    ...described,
    clock: scaledClock({ speed }),
    seed,
    listen: port === undefined ? { ports } : { port },
  });
  stdout.write(
    `${JSON.stringify({ addresses: bench.addresses, channels: described.channels, seed: bench.seed, speed })}\n`,
  );
  await untilStopped(signal);
  await bench.close();
  return 0;
};

export const simulate: Command = {
  name: "simulate",
  summary: "simulated instruments on loopback sockets until stopped",
  help,
  run,
};
