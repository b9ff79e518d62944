import type { Job } from "#calibration";
import type { JobDetail, JobSummary, RunSummary } from "#contract";
import { Fault, unwrap } from "#fault";
import { loadJob } from "#intake";
import type { Store } from "../store.ts";
import { planOf } from "./plan.ts";
import type { RunDesk } from "./run-desk.ts";

/**
 * What is to be done next. A run that ended asks to be judged while anything in it needs a person's eye (a fail, no
 * verdict, a point not measured); one that passed throughout can be issued.
 */
const stageOf = (latest: RunSummary | null): JobSummary["stage"] => {
  if (latest === null) return "plan";
  if (latest.certificate !== null) return "done";
  if (latest.state !== "ended") return "measure";
  return latest.outcome === "completed" && latest.decision === "pass" ? "issue" : "judge";
};

/** JSON begins with a bracket; everything else is read as YAML. */
const nameOf = (text: string): string => (/^\s*[{[]/.test(text) ? "job.json" : "job.yaml");

/** Jobs as the station shows them. */
export class JobDesk {
  readonly #store: Store;
  readonly #runs: RunDesk;
  readonly #now: () => Date;

  constructor(store: Store, runs: RunDesk, now: () => Date) {
    this.#store = store;
    this.#runs = runs;
    this.#now = now;
  }

  async job(job: string): Promise<Job> {
    const stored = await this.#store.job(job);
    if (stored === null) throw new Fault("records.not-found", `There is no job ${job}. The list of jobs shows what there is.`);
    return stored;
  }

  async list(): Promise<JobSummary[]> {
    return Promise.all((await this.#store.jobs()).map((job) => this.#summary(job)));
  }

  async detail(job: string): Promise<JobDetail> {
    const stored = await this.job(job);
    const runs = await this.#runsOf(job);
    return { job: stored, stage: stageOf(runs[0] ?? null), runs, plan: planOf(stored, this.#now().toISOString().slice(0, 10)) };
  }

  async add(text: string): Promise<JobSummary> {
    const job = unwrap(loadJob(text, nameOf(text)));
    await this.#store.addJob(job, text);
    return this.#summary(job);
  }

  async #runsOf(job: string): Promise<RunSummary[]> {
    return Promise.all((await this.#store.runs(job)).map((run) => this.#runs.summary(run)));
  }

  async #summary(job: Job): Promise<JobSummary> {
    const [latest] = await this.#store.runs(job.job);
    const latestRun = latest === undefined ? null : await this.#runs.summary(latest);
    return {
      job: job.job,
      title: job.title,
      customer: job.customer.name,
      place: job.place,
      items: job.items.map(({ id, tag, description }) => ({ item: id, tag, description })),
      points: job.procedure.points.map(({ temperature }) => temperature),
      passes: [...job.procedure.passes],
      rehearsal: job.rehearsal,
      stage: stageOf(latestRun),
      latestRun,
    };
  }
}
