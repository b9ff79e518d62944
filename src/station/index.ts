export { refuseUseless, type Although } from "./refuse-useless.ts";
export type { BenchHost, BenchRequest, CatalogEntry, HostedBench, Trim } from "./bench-host.ts";
export { newestEntries } from "./desk/newest-entries.ts";
export {
  askPlugged,
  decideReference,
  type DecidedReference,
  type PluggedReference,
  type ProbeWish,
} from "./plugged-reference.ts";
export { engineCommand } from "./live/engine-command.ts";
export { runName } from "./run-name.ts";
export { createStation, type Station, type StationOptions } from "./station.ts";
export { traceRecords, type TraceOptions } from "./desk/trace-records.ts";
export { approveUpkeep, keepUpkeep, type Approval, type KeptUpkeep } from "./desk/keep-upkeep.ts";
