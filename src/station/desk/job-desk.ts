import type { Job } from "#calibration";
import type { JobDetail, JobSummary, RunSummary } from "#contract";
import { unwrap } from "#fault";
import { loadJob } from "#intake";
import type { Records } from "#records";
import type { PlanDesk } from "./plan-desk.ts";
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
  readonly #records: Records;
  readonly #runs: RunDesk;
  readonly #plans: PlanDesk;

  constructor(records: Records, runs: RunDesk, plans: PlanDesk) {
    this.#records = records;
    this.#runs = runs;
    this.#plans = plans;
  }

  async job(job: string): Promise<Job> {
    return (await this.#records.readJob(job)).job;
  }

  async list(): Promise<JobSummary[]> {
    return Promise.all((await this.#records.listJobs()).map(({ job }) => this.#summary(job)));
  }

  async detail(job: string): Promise<JobDetail> {
    const stored = await this.job(job);
    const runs = await this.#runs.listOf(job);
    return {
      job: stored,
      stage: stageOf(runs[0] ?? null),
      runs,
      plan: await this.#plans.plan(stored),
    };
  }

  /** Takes a new job in. One of the same number is refused: what was planned and run by it stays as it was. */
  async add(text: string): Promise<JobSummary> {
    const job = unwrap(loadJob(text, nameOf(text)));
    await this.#records.saveJob(job, { expected: 0, source: text });
    return this.#summary(job);
  }

  async #summary(job: Job): Promise<JobSummary> {
    const latestRun = await this.#runs.latestOf(job.job);
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
