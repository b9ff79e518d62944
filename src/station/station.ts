import type { AddressInfo } from "node:net";
import { availableParallelism } from "node:os";
import type { StationAnswer } from "#contract";
import { Fault } from "#fault";
import { listSerialPorts, type InstrumentEntry, type SerialPortFound } from "#instruments";
import { createWorkforce } from "#parallel";
import type { Records } from "#records";
import type { BenchHost } from "./bench-host.ts";
import { BackupDesk } from "./desk/backup-desk.ts";
import { BenchDesk } from "./desk/bench-desk.ts";
import { CertificateDesk } from "./desk/certificate-desk.ts";
import { IssuedDesk } from "./desk/issued-desk.ts";
import { PictureDesk } from "./desk/laboratory-pictures.ts";
import { HistoryDesk } from "./desk/history-desk.ts";
import { ImportDesk } from "./desk/import-desk.ts";
import { KitDesk } from "./desk/kit-desk.ts";
import { UpkeepDesk } from "./desk/upkeep-desk.ts";
import { ItemsDesk } from "./desk/items-desk.ts";
import { JobDesk } from "./desk/job-desk.ts";
import { atPlaces } from "./desk/at-places.ts";
import { PlanDesk } from "./desk/plan-desk.ts";
import { PluggedDesk } from "./desk/plugged-desk.ts";
import { RunDesk } from "./desk/run-desk.ts";
import { TraceDesk } from "./desk/trace-desk.ts";
import { Validations } from "./desk/validations.ts";
import { fileName } from "./http/downloads.ts";
import { servePages } from "./http/pages.ts";
import { createServer, type Server } from "./http/server.ts";
import { Conversations } from "./live/conversations.ts";
import { LiveRuns } from "./live/live-runs.ts";
import { backupRoutes } from "./routes/backup-routes.ts";
import { benchRoutes } from "./routes/bench-routes.ts";
import { certificateRoutes } from "./routes/certificate-routes.ts";
import type { Desk } from "./routes/desk.ts";
import { importRoutes } from "./routes/import-routes.ts";
import { jobRoutes } from "./routes/job-routes.ts";
import { kitRoutes } from "./routes/kit-routes.ts";
import { upkeepRoutes } from "./routes/upkeep-routes.ts";
import { planRoutes } from "./routes/plan-routes.ts";
import { judgingRoutes } from "./routes/judging-routes.ts";
import { itemRoutes } from "./routes/item-routes.ts";
import { traceRoutes } from "./routes/trace-routes.ts";
import { liveRoutes, recordRoutes } from "./routes/run-routes.ts";

export interface StationOptions {
  readonly name: string;
  readonly software: { readonly name: string; readonly version: string };
  readonly records: Records;
  readonly benches: BenchHost;
  /** The entries by which instruments can be tried and set up. */
  readonly catalog: readonly InstrumentEntry[];
  /** The serial ports of the machine; asked of the system where nothing is said. */
  readonly serialPorts?: (() => Promise<readonly SerialPortFound[]>) | undefined;
  /** Whether jobs on a simulated bench can be run here. */
  readonly simulatedBench: boolean;
  /** Speed of simulated runs where nobody names one. */
  readonly defaultSpeed: number;
  /** Folder of the built pages; null for the API alone. */
  readonly pages: string | null;
  readonly host?: string | undefined;
  readonly now?: (() => Date) | undefined;
  /** Writes defects to standard output. */
  readonly trace?: boolean | undefined;
}

export interface Station {
  /** Binds and answers the address that a browser can open. Throws `station.port-in-use`. */
  listen(port: number): Promise<string>;
  /** The same work as the API does, for the program that hosts the station. */
  readonly desk: Desk;
  readonly server: Server;
  /** Readings held in memory for a run that goes on here; 0 for others. Bounded, however long it goes on. */
  held(run: string): number;
  /** Lets all benches go with their heat off, then the port. A run that went on stands broken off in its log; the records stay open. */
  close(): Promise<void>;
}

const deskOf = (options: StationOptions, live: LiveRuns, validations: Validations, plugged: PluggedDesk): Desk => {
  const { records, software, simulatedBench, defaultSpeed, name, now = () => new Date() } = options;
  const runs = new RunDesk(records, live);
  const plans = new PlanDesk(records, runs, now);
  const jobs = new JobDesk(records, runs, plans);
  const histories = new HistoryDesk(records, runs);
  const pictures = new PictureDesk(records);
  const certificates = new CertificateDesk({ records, runs, live, validations, pictures, now });
  const station: StationAnswer = { name, version: software.version, simulatedBench, defaultSpeed };
  return {
    station: () => station,
    jobs: () => jobs.list(),
    job: (job) => jobs.detail(job),
    addJob: (text) => jobs.add(text),
    takeOrder: async (job, points) => {
      await plans.takeOrder(job, points);
      return jobs.detail(job);
    },
    kits: (job) => plans.kits(job),
    day: (names, day) => plans.day(names, day),
    history: async (job) => ({ histories: await histories.offered(await jobs.job(job)) }),
    startRun: async (job, { history = false, at: places, although, probe, ...wanted }) => {
      const { job: planned, note } = await plugged.decide(atPlaces(await jobs.job(job), places), probe);
      const run = await live.open(history ? await histories.informed(planned) : planned, {
        ...wanted,
        ...(although === undefined
          ? {}
          : { although: { reason: although.reason, by: although.by ?? planned.technician } }),
      });
      if (note !== null) await runs.command(run, { command: "add-note", by: planned.technician, text: note });
      // The validation of its points begins as soon as it ends, so that it is there when somebody judges.
      const unwatch = live.watch(run, () => {
        if (live.get(run)?.ended !== true) return;
        unwatch();
        void certificates.result(run).catch(() => undefined);
      });
      return runs.summary(run);
    },
    run: (run) => runs.summary(run),
    view: (run) => runs.view(run),
    feed: (run) => runs.feed(run),
    approach: (run, pass, point) => runs.approach(run, pass, point),
    command: (run, command) => runs.command(run, command),
    stop: (run, by) => runs.stop(run, by),
    attend: (run) => runs.attend(run),
    result: (run) => certificates.result(run),
    diagnosis: (run) => runs.diagnosis(run),
    explain: (run, place) => runs.explain(run, place),
    validate: (run) => certificates.validate(run),
    cancelValidation: (run) => certificates.cancelValidation(run),
    events: (run, numbers) => runs.events(run, numbers),
    log: async (run) => ({
      bytes: Buffer.from(await records.exportLog(run), "utf8"),
      name: fileName(run, "log.jsonl"),
    }),
    preview: (run, languages = ["en"]) => certificates.preview(run, languages),
    issue: (run, authorisedBy, at = now(), terms = {}) => certificates.issue(run, authorisedBy, at, terms),
  };
};

const portFault = (error: unknown, host: string, port: number): unknown => {
  const code = error instanceof Error && "code" in error ? String(error.code) : "";
  if (code === "EADDRINUSE") {
    return new Fault(
      "station.port-in-use",
      `Port ${port} on ${host} is taken, perhaps by another Dwellpoint. Open that one in the browser, stop it, or start this one with another --port.`,
      { data: { host, port }, cause: error },
    );
  }
  if (code === "EACCES") {
    return new Fault(
      "station.port-in-use",
      `This user may not use port ${port}. Start with a --port of 1024 or more.`,
      { data: { host, port }, cause: error },
    );
  }
  if (code === "EADDRNOTAVAIL" || code === "ENOTFOUND") {
    return new Fault(
      "usage.wrong",
      `This machine has no address ${host}. Leave --host out, or give one of its own addresses.`,
      { data: { host }, cause: error },
    );
  }
  return error;
};

/** An address for the browser: the wildcard addresses cannot be opened, this machine can. */
const addressOf = ({ address, port, family }: AddressInfo): string => {
  const everywhere = address === "0.0.0.0" || address === "::";
  const name = everywhere ? "127.0.0.1" : family === "IPv6" ? `[${address}]` : address;
  return `http://${name}:${port}/`;
};

/** Puts the station together: records, benches and certificates behind the API and the pages. It listens when told to. */
export const createStation = async (options: StationOptions): Promise<Station> => {
  const {
    records,
    benches,
    catalog,
    serialPorts = listSerialPorts,
    software,
    defaultSpeed,
    pages,
    host = "127.0.0.1",
    now = () => new Date(),
    trace = false,
  } = options;
  const conversations: Conversations = new Conversations(() => live.inUse());
  const live = new LiveRuns({
    host: benches,
    records,
    software,
    now,
    defaultSpeed,
    makeRoom: (run, addresses) => conversations.makeRoom({ by: "run", run }, addresses),
  });
  const bench = new BenchDesk({ catalog, records, conversations, serialPorts, now });
  // One core is left to the runs that go on and to whoever looks at the pages.
  const force = createWorkforce({ threads: Math.max(1, availableParallelism() - 1) });
  const validations = new Validations(force);
  const plugged = new PluggedDesk({ records, host: benches, catalog, conversations });
  const desk = deskOf(options, live, validations, plugged);
  const pictures = new PictureDesk(records);
  const issued = new IssuedDesk({ records, runs: new RunDesk(records, live), validations, pictures, now });
  const traces = new TraceDesk(records, force, now);
  const backups = new BackupDesk({ records, now });
  const server = await createServer({ version: software.version, boundTo: host, trace });
  jobRoutes(server, desk);
  planRoutes(server, desk);
  kitRoutes(server, new KitDesk(records, now, plugged));
  upkeepRoutes(server, new UpkeepDesk(records));
  backupRoutes(server, backups);
  benchRoutes(server, bench, async (job) => (await records.readJob(job)).job);
  importRoutes(server, new ImportDesk({ records, software }), {
    jobOf: async (job) => (await records.readJob(job)).job,
    taken: async (run) => {
      void desk.result(run).catch(() => undefined);
      return desk.run(run);
    },
  });
  liveRoutes(server, desk);
  recordRoutes(server, desk);
  judgingRoutes(server, desk);
  certificateRoutes(server, issued, pictures);
  traceRoutes(server, traces);
  itemRoutes(server, new ItemsDesk(records, new RunDesk(records, live)));
  await servePages(server, pages);
  return {
    desk,
    server,
    held: (run) => live.get(run)?.held() ?? 0,
    async listen(port) {
      try {
        await server.listen({ host, port });
        await backups.start();
      } catch (error) {
        throw portFault(error, host, port);
      }
      return addressOf(server.server.address() as AddressInfo);
    },
    async close() {
      await conversations.close();
      await live.close();
      await backups.close();
      traces.close();
      await validations.close();
      await server.close();
      await force.close();
    },
  };
};
