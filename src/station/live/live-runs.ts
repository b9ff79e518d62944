import { randomInt } from "node:crypto";
import type { Job, RunOpened } from "#calibration";
import { checkReadiness, learntBefore, openRun, RunMemory, type Journal, type LearntBefore } from "#engine";
import { Fault, unwrap } from "#fault";
import type { Records } from "#records";
import type { BenchHost, HostedBench } from "../bench-host.ts";
import { refuseUseless, type Although } from "../refuse-useless.ts";
import { runName } from "../run-name.ts";
import { LiveRun } from "./live-run.ts";

export interface LiveRunsOptions {
  readonly host: BenchHost;
  readonly records: Records;
  readonly software: { readonly name: string; readonly version: string };
  readonly now: () => Date;
  readonly defaultSpeed: number;
  /** Ends whatever else goes on at the addresses of a run's instruments. */
  readonly makeRoom: (run: string, addresses: readonly string[]) => Promise<void>;
}

/** Ended runs whose approaches stay in memory, so that their pictures keep what was judged on the way. */
const mostEnded = 8;
const largestSeed = 2 ** 31;
/** Finished runs among which one is looked for that has something to teach. */
const lookedBackAt = 50;

const realAddresses = (job: Job): string[] =>
  job.bench.instruments.map(({ at }) => at).filter((at) => at !== "simulated");

/** The runs that are being conducted here. */
export class LiveRuns {
  readonly #options: LiveRunsOptions;
  readonly #runs = new Map<string, { readonly job: Job; readonly live: LiveRun }>();
  readonly #opening = new Map<string, Promise<LiveRun>>();
  /** Runs whose instruments are being connected. */
  readonly #connecting = new Map<string, Job>();
  readonly #speeds = new Map<string, number>();
  readonly #watchers = new Map<string, Set<() => void>>();
  #closed = false;

  constructor(options: LiveRunsOptions) {
    this.#options = options;
  }

  get(run: string): LiveRun | null {
    return this.#runs.get(run)?.live ?? null;
  }

  /** The runs that have real instruments now, or are just taking them. */
  inUse(): { run: string; addresses: readonly string[] }[] {
    const going = [...this.#runs].flatMap(([run, { job, live }]) => (live.hasBench ? [[run, job] as const] : []));
    return [...going, ...this.#connecting].map(([run, job]) => ({ run, addresses: realAddresses(job) }));
  }

  /** Opens a run of a job: its kit checked, its instruments answering, its first line in the records. It waits for `start`. */
  async open(
    job: Job,
    wanted: {
      readonly speed?: number | undefined;
      readonly seed?: number | undefined;
      readonly opened?: Date | undefined;
      readonly although?: Although | undefined;
    },
  ): Promise<string> {
    const { host, now, software, defaultSpeed, records } = this.#options;
    const opened = wanted.opened ?? now();
    unwrap(checkReadiness(job, opened.toISOString().slice(0, 10)));
    const overridden = refuseUseless(job, opened.toISOString().slice(0, 10), wanted.although ?? null);
    const simulated = host.isSimulated(job);
    if (!simulated && (wanted.speed ?? 1) !== 1) {
      throw new Fault(
        "input.invalid",
        "This job's instruments are real, so its time cannot be hurried. Leave the speed out.",
      );
    }
    this.#refuseShared(job);
    const opening = openRun({
      job,
      run: runName(job, opened, await this.#namesOf(job)),
      opened: `${opened.toISOString().slice(0, 19)}Z`,
      seed: simulated ? (wanted.seed ?? seedOf(job) ?? randomInt(largestSeed)) : null,
      software,
      catalog: host.catalogOf(job),
      overridden,
      learnt: await this.#learntBefore(job, simulated),
    });
    this.#speeds.set(opening.run, simulated ? (wanted.speed ?? defaultSpeed) : 1);
    await this.#once(opening.run, () =>
      this.#connect(job, RunMemory.of([opening]), () => records.openRunJournal(opening)),
    );
    return opening.run;
  }

  /** The run as it is conducted; one that was broken off gets its bench and goes on from its log, waiting for `resume`. */
  async revive(run: string, memory: RunMemory): Promise<LiveRun> {
    const known = this.get(run);
    if (known !== null) return known;
    const { job } = memory.state.opened;
    return this.#once(run, async () => {
      unwrap(checkReadiness({ ...job, kit: memory.state.job.kit }, this.#options.now().toISOString().slice(0, 10)));
      this.#refuseShared(job);
      return this.#connect(job, memory, () => this.#options.records.resumeRunJournal(run));
    });
  }

  /** What the newest finished run of one of these items on this source taught about its pace; nothing where there is none. */
  async #learntBefore(job: Job, simulated: boolean): Promise<LearntBefore> {
    const { records } = this.#options;
    const serials = new Set(job.items.map(({ serial }) => serial));
    const { runs } = await records.listRuns({ outcome: "completed", limit: lookedBackAt });
    for (const { run, items } of runs) {
      if (!items.some(({ serial }) => serials.has(serial))) continue;
      const learnt = await learntBefore(job, simulated, records.logPages(run));
      if (Object.keys(learnt).length > 0) return learnt;
    }
    return {};
  }

  /** Names that the job's runs have already. */
  async #namesOf(job: Job): Promise<ReadonlySet<string>> {
    const { runs } = await this.#options.records.listRuns({ job: job.job, limit: 20 });
    return new Set([...runs.map(({ run }) => run), ...this.#runs.keys(), ...this.#opening.keys()]);
  }

  /** Calls back after each change of a run, whether it is conducted already or only later. The answer stops that. */
  watch(run: string, changed: () => void): () => void {
    const watchers = this.#watchers.get(run) ?? new Set();
    this.#watchers.set(run, watchers);
    watchers.add(changed);
    return () => {
      watchers.delete(changed);
      if (watchers.size === 0 && this.#watchers.get(run) === watchers) this.#watchers.delete(run);
    };
  }

  /** Lets a run's bench go; its log is final if it has ended. */
  async release(run: string): Promise<void> {
    await this.get(run)?.close();
  }

  async close(): Promise<void> {
    this.#closed = true;
    await Promise.allSettled(this.#opening.values());
    await Promise.allSettled([...this.#runs.values()].map(({ live }) => live.close()));
  }

  #changed(run: string): void {
    for (const changed of this.#watchers.get(run) ?? []) changed();
  }

  /** Two requests for the same run at once share one opening. */
  #once(run: string, open: () => Promise<LiveRun>): Promise<LiveRun> {
    const running = this.#opening.get(run);
    if (running !== undefined) return running;
    const opening = open().finally(() => this.#opening.delete(run));
    this.#opening.set(run, opening);
    return opening;
  }

  async #connect(job: Job, memory: RunMemory, openJournal: () => Promise<Journal>): Promise<LiveRun> {
    const { run } = memory.state.opened;
    // From here on nobody else begins to talk to these instruments; who does already is asked to leave.
    this.#connecting.set(run, job);
    try {
      await this.#options.makeRoom(run, realAddresses(job));
      return await this.#take(job, memory, openJournal);
    } finally {
      this.#connecting.delete(run);
    }
  }

  async #take(job: Job, memory: RunMemory, openJournal: () => Promise<Journal>): Promise<LiveRun> {
    if (this.#closed)
      throw new Fault("run.not-allowed", "The station is being stopped. Start it again, then go on with the run.");
    const opened: RunOpened = memory.state.opened;
    const hosted: HostedBench = await this.#options.host.open({
      job: { ...job, kit: memory.state.job.kit },
      catalog: opened.catalog,
      opened: opened.opened,
      from: memory.state.at,
      seed: opened.seed,
      speed: this.#speeds.get(opened.run) ?? (opened.seed === null ? 1 : this.#options.defaultSpeed),
      trims: memory.log().flatMap((event) => (event.kind === "item-adjusted" ? [event] : [])),
    });
    try {
      // Nothing is recorded of a run whose instruments never answered.
      unwrap(await hosted.bench.prepare());
      const live = new LiveRun({
        job,
        hosted,
        journal: await openJournal(),
        log: memory,
        changed: () => this.#changed(opened.run),
        broken: () => {
          this.#runs.delete(opened.run);
          void live.close();
        },
      });
      await live.start();
      this.#runs.set(opened.run, { job, live });
      this.#changed(opened.run);
      this.#forgetOldest();
      return live;
    } catch (thrown) {
      await hosted.close();
      throw thrown;
    }
  }

  /** An instrument serves one run at a time: two would read and command each other's points. */
  #refuseShared(job: Job): void {
    const wanted = new Set(realAddresses(job));
    for (const [run, { job: other, live }] of this.#runs) {
      const shared = live.ended ? undefined : realAddresses(other).find((at) => wanted.has(at));
      if (shared === undefined) continue;
      throw new Fault(
        "run.not-allowed",
        `The instrument at ${shared} is in use by run ${run}. End that run first, or use another instrument.`,
      );
    }
  }

  #forgetOldest(): void {
    const ended = [...this.#runs].filter(([, { live }]) => live.ended);
    for (const [run, { live }] of ended.slice(0, Math.max(0, ended.length - mostEnded))) {
      this.#runs.delete(run);
      void live.close();
    }
  }
}

/** The seed that a job itself gives to its simulated bench. */
const seedOf = (job: Job): number | undefined => {
  const seed = job.bench.simulation?.["seed"];
  return typeof seed === "number" ? seed : undefined;
};
