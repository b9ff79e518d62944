import {
  evaluate,
  explain,
  type Decision,
  type ExplainedPlace,
  type Explanation,
  type Pass,
  type Result,
  type RunEvent,
} from "#calibration";
import type { Approach, DiagnosisAnswer, EventsAnswer, RunCommand, RunSummary, RunView } from "#contract";
import { diagnoseRun } from "#diagnosis";
import { Fault, unwrap } from "#fault";
import type { ListedRun, Records } from "#records";
import { approachFromLog } from "../live/approach-from-log.ts";
import type { Feed } from "../live/event-stream.ts";
import type { LiveRuns } from "../live/live-runs.ts";
import { storedView } from "../live/stored-run.ts";
import { overallDecision } from "./overall-decision.ts";

/** What is remembered of a run's log while it has not grown. */
interface Digest {
  readonly events: number;
  readonly result: Result;
}

const mostDigests = 200;

/** Runs as the station shows them: those that go on here, and those that stand in the records. */
export class RunDesk {
  readonly #records: Records;
  readonly #live: LiveRuns;
  readonly #digests = new Map<string, Digest>();

  constructor(records: Records, live: LiveRuns) {
    this.#records = records;
    this.#live = live;
  }

  async log(run: string): Promise<readonly RunEvent[]> {
    return this.#live.get(run)?.log() ?? (await this.#records.readLog(run));
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

  async explain(run: string, place: ExplainedPlace): Promise<Explanation> {
    return unwrap(explain(await this.log(run), place));
  }

  async diagnosis(run: string): Promise<DiagnosisAnswer> {
    const { log, result } = await this.result(run);
    return structuredClone({ items: diagnoseRun(log, result) }) as DiagnosisAnswer;
  }

  async summary(run: string): Promise<RunSummary> {
    return this.summaryOf(await this.#records.readRun(run));
  }

  /** Runs of a job, the newest first. */
  async listOf(job: string): Promise<RunSummary[]> {
    const { runs } = await this.#records.listRuns({ job, limit: 500 });
    return Promise.all(runs.map((listed) => this.summaryOf(listed)));
  }

  async latestOf(job: string): Promise<RunSummary | null> {
    const [latest] = (await this.#records.listRuns({ job, limit: 1 })).runs;
    return latest === undefined ? null : this.summaryOf(latest);
  }

  async summaryOf(listed: ListedRun): Promise<RunSummary> {
    const { run, job, title, customer, items, opened, rehearsal, outcome, paused, measured, stops, certificate } =
      listed;
    const state =
      outcome !== null ? "ended" : this.#live.get(run) === null ? "interrupted" : paused ? "paused" : "running";
    return {
      run,
      job,
      title,
      customer,
      items: items.map(({ item, tag, description }) => ({ item, tag, description })),
      opened,
      rehearsal,
      state,
      outcome,
      measured,
      points: stops,
      decision: outcome === null ? null : (listed.decision ?? (await this.#decide(run))),
      certificate,
    };
  }

  /** What an ended run comes to, worked out once and kept for the lists. */
  async #decide(run: string): Promise<Decision | null> {
    const decision = overallDecision((await this.result(run)).result);
    if (decision !== null) await this.#records.keepDecision(run, decision);
    return decision;
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
    if (seen === null)
      throw new Fault(
        "records.not-found",
        `Run ${run} has not been at point ${point + 1} ${pass.replace("-", " ")} yet.`,
      );
    return seen;
  }

  async command(run: string, command: RunCommand): Promise<RunView> {
    const live = this.#live.get(run);
    if (live !== null) return live.command(command);
    if ((await this.#records.readRun(run)).outcome !== null) {
      throw new Fault("run.not-allowed", "This run has ended; it can be judged and issued, but not gone on with.");
    }
    return (await this.#live.revive(run, await this.log(run))).command(command);
  }

  async events(run: string, numbers: readonly number[]): Promise<EventsAnswer> {
    const log = await this.log(run);
    return {
      events: numbers.map((n) => {
        const event = log[n];
        if (event === undefined)
          throw new Fault("records.not-found", `The log of run ${run} has ${log.length} lines; there is no line ${n}.`);
        return { ...event };
      }),
    };
  }
}
