export type { BenchHost, BenchRequest, CatalogEntry, HostedBench, Trim } from "./bench-host.ts";
export { runName } from "./run-name.ts";
export { createStation, type Station, type StationOptions } from "./station.ts";
