import type { Job, Pass, RunLog } from "#calibration";
import type { Approach, RunCommand, RunView } from "#contract";
import { createRunner, type EngineView, type Journal, type RunMemory, type Runner } from "#engine";
import { Fault, unwrap } from "#fault";
import type { HostedBench } from "../bench-host.ts";
import { ApproachMemory } from "./approach-memory.ts";
import { engineCommand } from "./engine-command.ts";

export interface LiveRunOptions {
  readonly job: Job;
  readonly hosted: HostedBench;
  readonly journal: Journal;
  readonly log: RunMemory;
  /** Called after each change of what the run shows. */
  readonly changed: () => void;
  /** Called when the run cannot go on because of a defect of the program; its log stands as it is. */
  readonly broken: (cause: unknown) => void;
}

/** A run that is being conducted here: its runner, and what it has shown. Watchers come and go; it goes on. */
export class LiveRun {
  readonly #job: Job;
  readonly #hosted: HostedBench;
  readonly #runner: Runner;
  readonly #memory = new ApproachMemory();
  readonly #changed: () => void;
  #closing: Promise<void> | null = null;
  #gone = false;

  constructor({ job, hosted, journal, log, changed, broken }: LiveRunOptions) {
    this.#job = job;
    this.#changed = changed;
    this.#hosted = hosted;
    this.#runner = createRunner({
      bench: hosted.bench,
      clock: hosted.clock,
      journal,
      log,
      watchCooling: true,
      onView: (view) => this.#noteView(view),
    });
    this.#runner.done.catch(broken);
  }

  /** Connects and identifies the instruments; from then on the run takes commands. */
  async start(): Promise<void> {
    unwrap(await this.#runner.start());
  }

  view(): RunView {
    return this.#shown(this.#runner.view());
  }

  approach(): Approach | null {
    const { pass, point } = this.#runner.view();
    return pass === null || point === null ? null : this.#memory.at(pass, point);
  }

  approachAt(pass: Pass, point: number): Approach | null {
    return this.#memory.at(pass, point);
  }

  get ended(): boolean {
    return this.#runner.view().stage === "ended";
  }

  /** Whether it holds its instruments: an ended run still does while it watches its source cool. */
  get hasBench(): boolean {
    return !this.#gone;
  }

  /** What is kept of its log while it goes on; the whole is in the records. */
  log(): RunLog {
    return this.#runner.log();
  }

  /** Readings that are held in memory for it. */
  held(): number {
    return this.#runner.held() + this.#memory.rows;
  }

  async command(command: RunCommand): Promise<RunView> {
    if (this.#closing !== null) {
      throw new Fault(
        "run.not-allowed",
        "This run has ended and its bench was let go; it can be judged and issued, but nothing is added to its log any more.",
      );
    }
    return this.#shown(unwrap(await this.#runner.command(engineCommand(command, this.#job))));
  }

  /** Takes the heat away at once and pauses; waits for nothing. An ended run, or one that was let go, has no heat to take. */
  halt(by: string = this.#job.technician): RunView {
    return this.#shown(this.#closing === null && !this.ended ? this.#runner.halt(by) : this.#runner.view());
  }

  /** Somebody is there. */
  attend(): RunView {
    if (this.#closing === null) this.#runner.attend();
    return this.#shown(this.#runner.view());
  }

  /** Stops reading, takes the heat away and lets the instruments go; the log stands as it is. Any number of calls. */
  close(): Promise<void> {
    this.#closing ??= this.#close();
    return this.#closing;
  }

  async #close(): Promise<void> {
    await this.#runner.leave();
    if (this.#runner.view().stage !== "ended") await this.#hosted.bench.switchOutput(false);
    await this.#hosted.close();
    this.#gone = true;
    this.#changed();
  }

  #shown(view: EngineView): RunView {
    const clock = view.stage === "ended" ? view.at : Math.max(view.at, this.#hosted.clock.now());
    const commands = this.#closing === null ? view.commands : [];
    return structuredClone({ ...view, commands, at: clock, speed: this.#hosted.speed }) as RunView;
  }

  #noteView(view: EngineView): void {
    this.#memory.add(view as RunView);
    this.#changed();
    // Cool at last: nothing more is read.
    if (this.#runner.last().kind === "source-cool") void this.close();
  }
}
