import {
  evaluate,
  explain,
  type Decision,
  type ExplainedPlace,
  type Explanation,
  type Pass,
  type Result,
  type RunEvent,
  type RunLog,
} from "#calibration";
import type { Approach, DiagnosisAnswer, EventsAnswer, RunCommand, RunSummary, RunView } from "#contract";
import { diagnoseRun } from "#diagnosis";
import { RunMemory } from "#engine";
import { Fault, unwrap } from "#fault";
import type { ListedRun, Records } from "#records";
import { approachFromLog } from "../live/approach-from-log.ts";
import type { Feed } from "../live/event-stream.ts";
import type { LiveRun } from "../live/live-run.ts";
import type { LiveRuns } from "../live/live-runs.ts";
import { brokenOffView, storedView } from "../live/stored-run.ts";
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

  /** What an evaluation asks for: of a run that goes on here what is kept of its log, of others the whole. */
  async log(run: string): Promise<RunLog> {
    return this.#live.get(run)?.log() ?? (await this.#records.readLog(run));
  }

  /** The whole log with the result, for what is signed: its hash stands on the certificate. */
  async whole(run: string): Promise<{ readonly log: readonly RunEvent[]; readonly result: Result }> {
    const log = await this.#records.readLog(run);
    return { log, result: this.#evaluated(run, log) };
  }

  async result(run: string): Promise<{ readonly log: RunLog; readonly result: Result }> {
    const log = await this.log(run);
    return { log, result: this.#evaluated(run, log) };
  }

  #evaluated(run: string, log: RunLog): Result {
    const events = (log.at(-1)?.n ?? 0) + 1;
    const known = this.#digests.get(run);
    if (known?.events === events) return known.result;
    const result = evaluate(log);
    this.#digests.delete(run);
    this.#digests.set(run, { events, result });
    const [oldest] = this.#digests.keys();
    if (this.#digests.size > mostDigests && oldest !== undefined) this.#digests.delete(oldest);
    return result;
  }

  /** A run that nobody conducts, read through as a stream. */
  async #remembered(run: string): Promise<RunMemory> {
    return RunMemory.from(this.#records.logPages(run));
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
    return live === null ? storedView((await this.#remembered(run)).state) : live.view();
  }

  async feed(run: string): Promise<Feed> {
    const live = this.#live;
    let stored = live.get(run) === null ? storedView((await this.#remembered(run)).state) : null;
    let seen: RunView | null = null;
    return {
      view: () => {
        const now = live.get(run)?.view() ?? null;
        if (now === null) return (stored ??= brokenOffView(seen!));
        seen = now;
        return now;
      },
      approach: () => live.get(run)?.approach() ?? null,
      watch: (changed) => live.watch(run, changed),
      get ended() {
        return live.get(run)?.ended ?? (stored ?? seen)?.stage === "ended";
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
    return (await this.#live.revive(run, await this.#remembered(run))).command(command);
  }

  /** Takes the heat of a run away at once. Asks nothing of the records: they may be what hangs. */
  stop(run: string, by: string | undefined): RunView {
    return this.#conducted(run).halt(by);
  }

  attend(run: string): RunView {
    return this.#conducted(run).attend();
  }

  #conducted(run: string): LiveRun {
    const live = this.#live.get(run);
    if (live !== null) return live;
    throw new Fault(
      "run.not-allowed",
      `Run ${run} is not conducted here now, so there is no heat of it to take away. If its source is hot, switch it off at its own switch.`,
    );
  }

  async events(run: string, numbers: readonly number[]): Promise<EventsAnswer> {
    const events = await this.#records.readEvents(run, numbers);
    return {
      events: events.map((event, index) => {
        if (event === undefined)
          throw new Fault("records.not-found", `The log of run ${run} has no line ${numbers[index]!}.`);
        return { ...event };
      }),
    };
  }
}
