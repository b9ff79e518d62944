import { join } from "node:path";
import { openRecords } from "#records";
import { createClient, type RunView, type StationClient } from "#contract";
import { createStation, type Station, type StationOptions } from "#station";
import { benchHost } from "../../src/cli/bench/bench-host.ts";
import { readCatalog } from "../../src/cli/catalog.ts";
import { home, scratch } from "./program.test-support.ts";

export interface StartedStation {
  readonly address: string;
  readonly client: StationClient;
  readonly station: Station;
  readonly data: string;
  fetch(path: string, init?: RequestInit): Promise<Response>;
  stop(): Promise<void>;
}

/** A station on a free port with records of its own, as `serve` puts it together. */
export const startStation = async (
  data?: string,
  { serialPorts, pages = null }: Partial<Pick<StationOptions, "serialPorts" | "pages">> = {},
): Promise<StartedStation> => {
  const folder = data ?? join(await scratch(), "data");
  const catalog = readCatalog(home);
  const records = await openRecords(folder);
  const station = await createStation({
    name: "test",
    software: { name: "dwellpoint", version: "0.0.0" },
    records,
    benches: benchHost(catalog),
    catalog,
    serialPorts,
    simulatedBench: true,
    defaultSpeed: 5000,
    pages,
  });
  const address = await station.listen(0);
  const at = (path: string): string => new URL(path, address).href;
  return {
    address,
    station,
    data: folder,
    client: createClient((path, init) => fetch(at(path), init)),
    fetch: (path, init) => fetch(at(path), init),
    async stop() {
      await station.close();
      await records.close();
    },
  };
};

/** Asks for the view until it is as wanted; gives up after `limit` ms with the last view's sentence. */
export const untilView = async (
  client: StationClient,
  run: string,
  wanted: (view: RunView) => boolean,
  limit = 40_000,
): Promise<RunView> => {
  const end = performance.now() + limit;
  for (;;) {
    const view = await client.runView(run);
    if (wanted(view)) return view;
    if (performance.now() > end) throw new Error(`Not within ${limit} ms: ${view.stage}, ${view.sentence.happening}`);
    await new Promise((resolve) => setTimeout(resolve, 25));
  }
};
