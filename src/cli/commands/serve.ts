import { join } from "node:path";
import { Fault, faultValue } from "#fault";
import { openRecords } from "#records";
import { createStation } from "#station";
import { benchHost } from "../bench/bench-host.ts";
import { readCatalog } from "../catalog.ts";
import type { Command, ExitCode, Surroundings } from "../command.ts";
import { programOf } from "../program.ts";
import { isTerminal } from "../run/progress.ts";
import { chooseDataFolder } from "../serve/data-folder.ts";
import { addDemoJobs, finishDemoRun } from "../serve/demonstration.ts";
import { hasDesktop, openBrowser } from "../serve/open-browser.ts";
import { readNumber, readWords } from "../words.ts";

const usualPort = 8470;
/** Speed offered for simulated runs: a point of half an hour in less than a minute, and still to be followed by eye. */
const offeredSpeed = 60;

const help = `
dwellpoint serve [--data DIR] [--port P] [--host HOST] [--demo] [--open]

Starts the station: pages for the browser and the HTTP API, on this machine alone unless told otherwise. It prints its
address and runs until it is stopped (Ctrl-C); runs that go on are then left paused in their logs, their source off, and
can be resumed after the next start.

  --data DIR   folder of the records. Where it is left out: DWELLPOINT_DATA; else, with --demo, data/demo in the
               program's own folder; else the user's data folder (on Linux ~/.local/share/dwellpoint)
  --port P     ${usualPort} where it is left out; 0 for any that is free
  --host HOST  address to listen on; 127.0.0.1 where it is left out. Anybody who can reach another address can work here
  --demo       puts the invented jobs of examples/ into empty records, and one run of them, finished, with its certificate
  --open       opens the browser even where no desktop is seen; without it, the browser opens on a desktop by itself
               when --demo is given

Prints the address as one plain line on a terminal, and as {"kind":"station","address","data"} in a pipe.
`;

const untilAborted = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    if (signal.aborted) resolve();
    else signal.addEventListener("abort", () => resolve(), { once: true });
  });

const startStation = async (words: readonly string[], surroundings: Surroundings): Promise<ExitCode> => {
  const { stdout, stderr, signal, environment, home } = surroundings;
  const { values, positionals } = readWords("serve", words, {
    data: { type: "string" },
    port: { type: "string" },
    host: { type: "string" },
    demo: { type: "boolean" },
    open: { type: "boolean" },
  });
  if (positionals.length > 0)
    throw new Fault("usage.wrong", `serve takes no ${positionals[0]}. dwellpoint serve --help tells what it takes.`);
  const port =
    values.port === undefined ? usualPort : readNumber("port", values.port, { least: 0, most: 65_535, whole: true });
  const demo = values.demo === true;
  const data = chooseDataFolder({ word: values.data, demo, environment, home });
  const catalog = readCatalog(home);
  const records = await openRecords(data);
  try {
    const station = await createStation({
      name: "Dwellpoint",
      software: programOf(home),
      records,
      benches: benchHost(catalog),
      catalog,
      simulatedBench: true,
      defaultSpeed: offeredSpeed,
      pages: join(home, "build", "web"),
      host: values.host,
      trace: environment["DWELLPOINT_TRACE"] !== undefined,
    });
    if (demo) await addDemoJobs({ records, home });
    const address = await station.listen(port);
    stdout.write(
      isTerminal(stdout) ? `Dwellpoint is at ${address}\n` : `${JSON.stringify({ kind: "station", address, data })}\n`,
    );
    const shown = values.open === true || (demo && hasDesktop(environment));
    if (shown && !(await openBrowser(address)))
      stderr.write(`The browser could not be opened; open ${address} yourself.\n`);
    const finishing = demo
      ? finishDemoRun({ records, home, desk: station.desk, signal }).catch((thrown: unknown) => {
          stderr.write(`${JSON.stringify({ error: faultValue(thrown) })}\n`);
        })
      : Promise.resolve();
    await untilAborted(signal);
    await station.close();
    await finishing;
    return 0;
  } finally {
    await records.close();
  }
};

export const serve: Command = {
  name: "serve",
  summary: "the station: pages and API on loopback",
  help,
  run: startStation,
};
