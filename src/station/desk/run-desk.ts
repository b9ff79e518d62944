import { evaluate, type Pass, type Result, type RunEvent, type RunOpened } from "#calibration";
import type { Approach, EventsAnswer, RunCommand, RunSummary, RunView } from "#contract";
import { Fault } from "#fault";
import { approachFromLog } from "../live/approach-from-log.ts";
import type { Feed } from "../live/event-stream.ts";
import type { LiveRuns } from "../live/live-runs.ts";
import { storedView } from "../live/stored-run.ts";
import type { Store } from "../store.ts";
import { overallDecision, runProgress, stopCount } from "./run-progress.ts";

/** What is remembered of a run's log while it has not grown. */
interface Digest {
  readonly events: number;
  readonly result: Result;
}

const mostDigests = 200;

/** Runs as the station shows them: those that go on here, and those that stand in the records. */
export class RunDesk {
  readonly #store: Store;
  readonly #live: LiveRuns;
  readonly #digests = new Map<string, Digest>();

  constructor(store: Store, live: LiveRuns) {
    this.#store = store;
    this.#live = live;
  }

  async log(run: string): Promise<readonly RunEvent[]> {
    const log = this.#live.get(run)?.log() ?? (await this.#store.log(run));
    if (log === null) throw new Fault("records.not-found", `There is no run ${run}. The job's page lists its runs.`);
    return log;
  }

  async result(run: string): Promise<{ readonly log: readonly RunEvent[]; readonly result: Result }> {
    const log = [...(await this.log(run))];
    const known = this.#digests.get(run);
    if (known?.events === log.length) return { log, result: known.result };
    const result = evaluate(log);
    this.#digests.delete(run);
    this.#digests.set(run, { events: log.length, result });
    const [oldest] = this.#digests.keys();
    if (this.#digests.size > mostDigests && oldest !== undefined) this.#digests.delete(oldest);
    return { log, result };
  }

  async summary(run: string): Promise<RunSummary> {
    const log = await this.log(run);
    const { job, opened } = log[0] as RunOpened;
    const { outcome, paused, measured } = runProgress(log);
    const state = outcome !== null ? "ended" : this.#live.get(run) === null ? "interrupted" : paused ? "paused" : "running";
    return {
      run,
      job: job.job,
      title: job.title,
      customer: job.customer.name,
      items: job.items.map(({ id, tag, description }) => ({ item: id, tag, description })),
      opened,
      rehearsal: job.rehearsal,
      state,
      outcome,
      measured,
      points: stopCount(job),
      decision: outcome === null ? null : overallDecision((await this.result(run)).result),
      certificate: await this.#store.certificateOf(run),
    };
  }

  async view(run: string): Promise<RunView> {
    const live = this.#live.get(run);
    return live === null ? storedView(await this.log(run)) : live.view();
  }

  async feed(run: string): Promise<Feed> {
    const stored = storedView(await this.log(run));
    const live = this.#live;
    return {
      view: () => live.get(run)?.view() ?? stored,
      approach: () => live.get(run)?.approach() ?? null,
      watch: (changed) => live.watch(run, changed),
      get ended() {
        return live.get(run)?.ended ?? stored.stage === "ended";
      },
    };
  }

  async approach(run: string, pass: Pass, point: number): Promise<Approach> {
    const seen = this.#live.get(run)?.approachAt(pass, point) ?? approachFromLog(await this.log(run), pass, point);
    if (seen === null) throw new Fault("records.not-found", `Run ${run} has not been at point ${point + 1} ${pass.replace("-", " ")} yet.`);
    return seen;
  }

  async command(run: string, command: RunCommand): Promise<RunView> {
    const live = this.#live.get(run);
    if (live !== null) return live.command(command);
    const log = await this.log(run);
    if (runProgress(log).outcome !== null) {
      throw new Fault("run.not-allowed", "This run has ended; it can be judged and issued, but not gone on with.");
    }
    return (await this.#live.revive(run, log)).command(command);
  }

  async events(run: string, numbers: readonly number[]): Promise<EventsAnswer> {
    const log = await this.log(run);
    return {
      events: numbers.map((n) => {
        const event = log[n];
        if (event === undefined) throw new Fault("records.not-found", `The log of run ${run} has ${log.length} lines; there is no line ${n}.`);
        return { ...event };
      }),
    };
  }
}
