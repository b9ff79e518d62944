import type { Job } from "#calibration";
import type { DayPlan, KitComparisonAnswer, Plan } from "#contract";
import { settlingTarget } from "#engine";
import { Fault } from "#fault";
import {
  compareKits,
  comparisonRecord,
  inOrder,
  learnPace,
  orderIsAllowed,
  planDay,
  planJob,
  seenIn,
  timetableRecord,
  type Day,
  type KitChoice,
  type LearntPace,
  type SeenRun,
} from "#planning";
import type { Records } from "#records";
import { planContext, planOf } from "./plan.ts";
import type { RunDesk } from "./run-desk.ts";

/** Of so many of the latest runs the pace is learnt; older ones say little that these do not. */
const runsLearntFrom = 8;
const mostSeen = 64;
/** So many other kits are put beside a job's own. */
const mostKits = 6;

/** Plans: what a job will prove and how long it takes, the day, the kits that the station knows. */
export class PlanDesk {
  readonly #records: Records;
  readonly #runs: RunDesk;
  readonly #now: () => Date;
  /** What ended runs saw of their sources; their logs grow no more. */
  readonly #seen = new Map<string, SeenRun | null>();

  constructor(records: Records, runs: RunDesk, now: () => Date) {
    this.#records = records;
    this.#runs = runs;
    this.#now = now;
  }

  #today(): string {
    return this.#now().toISOString().slice(0, 10);
  }

  async #job(job: string): Promise<Job> {
    return (await this.#records.readJob(job)).job;
  }

  async #seenIn(run: string): Promise<SeenRun | null> {
    const known = this.#seen.get(run);
    if (known !== undefined) return known;
    const seen = seenIn(await this.#records.readLog(run));
    this.#seen.set(run, seen);
    const [oldest] = this.#seen.keys();
    if (this.#seen.size > mostSeen && oldest !== undefined) this.#seen.delete(oldest);
    return seen;
  }

  async #learnt(job: Job): Promise<LearntPace | null> {
    const { runs } = await this.#records.listRuns({ limit: 4 * runsLearntFrom });
    const ended = runs.filter(({ outcome, rehearsal }) => outcome === "completed" && rehearsal === job.rehearsal);
    const seen = await Promise.all(ended.slice(0, runsLearntFrom).map(({ run }) => this.#seenIn(run)));
    return learnPace(
      job,
      seen.filter((one) => one !== null),
      settlingTarget,
    );
  }

  async plan(job: Job): Promise<Plan> {
    return planOf(job, planContext(this.#today(), await this.#learnt(job)));
  }

  /** Takes an order for the points of a job, as a new revision of it: what a run was opened with stays as it was. */
  async takeOrder(name: string, points: readonly number[]): Promise<void> {
    const { job, revision } = await this.#records.readJob(name);
    const going = (await this.#runs.listOf(name)).find(({ state }) => state !== "ended");
    if (going !== undefined)
      throw new Fault(
        "run.not-allowed",
        `Run ${going.run} of this job has not ended; its points are in the order in which it was opened. End it first.`,
      );
    if (!orderIsAllowed(job, points))
      throw new Fault(
        "input.invalid",
        "This is not an order that the job's procedure allows. Load the page again and take the order that it proposes.",
      );
    await this.#records.saveJob(inOrder(job, points), { expected: revision });
  }

  /** The job with the kits of the station's other jobs and registers, beside its own. */
  async kits(name: string): Promise<KitComparisonAnswer> {
    const job = await this.#job(name);
    const others = (await this.#records.listJobs())
      .map((entry) => entry.job)
      .filter(({ rehearsal }) => rehearsal === job.rehearsal);
    const choices = new Map<string, KitChoice>();
    for (const { kit } of others) {
      const { reference, readout, source } = kit;
      const differs = (["reference", "readout", "source"] as const).filter(
        (entry) => kit[entry].id !== job.kit[entry].id,
      );
      if (differs.length === 0 || reference.unit !== job.kit.reference.unit) continue;
      const title = differs.map((entry) => kit[entry].id).join(", ");
      if (!choices.has(title)) choices.set(title, { name: `With ${title}`, reference, readout, source });
    }
    const context = planContext(this.#today(), await this.#learnt(job));
    const compared = compareKits(
      job,
      [{ name: "The job's own kit" }, ...[...choices.values()].slice(0, mostKits)],
      context,
    );
    const { kits, best, words } = comparisonRecord(compared);
    return { kits, best, words };
  }

  /** The day over several jobs; one that cannot be done is named and left out. */
  async day(names: readonly string[], day: Day): Promise<DayPlan> {
    const today = this.#today();
    const jobs = await Promise.all(
      [...new Set(names)].map(async (name) => {
        const job = await this.#job(name);
        return { job, target: settlingTarget, learnt: await this.#learnt(job) };
      }),
    );
    const checked = jobs.map((each) => ({ each, plan: planJob(each.job, planContext(today, each.learnt)) }));
    const able = checked.filter(({ plan }) => plan.ready).map(({ each }) => each);
    const unready = checked.flatMap(({ each, plan: { obstacles } }) =>
      obstacles[0] === undefined ? [] : [{ job: each.job.job, message: obstacles[0].message }],
    );
    const { entries, finish, leftOut, assumptions } = timetableRecord(planDay(able, day));
    return {
      entries,
      finish,
      leftOut: leftOut.map(({ jobs: left, words }) => ({ jobs: [...left], words })),
      unready,
      assumptions: [...assumptions],
    };
  }
}
