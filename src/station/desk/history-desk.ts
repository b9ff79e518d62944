import type { EarlierError, History, Job } from "#calibration";
import type { ListedRun, Records } from "#records";
import type { RunDesk } from "./run-desk.ts";

/** How many earlier runs of an item are looked at, the newest first. */
const mostRuns = 20;
/** An earlier point is of use where the job has one no farther away, K. */
const sameTemperature = 1;

/** What the records know of a job's items from before. */
export class HistoryDesk {
  readonly #records: Records;
  readonly #runs: RunDesk;

  constructor(records: Records, runs: RunDesk) {
    this.#records = records;
    this.#runs = runs;
  }

  /**
   * Errors as found of earlier runs, for each item that the job itself gives no history of its own for. A rehearsal knows
   * rehearsals only, and real work real work. An identifier that stood for another serial number is another item.
   */
  async offered(job: Job): Promise<History[]> {
    const wanted = job.items.filter(
      ({ id }) => !(job.history ?? []).some(({ item, of }) => item === id && of === "item"),
    );
    const histories = await Promise.all(wanted.map((item) => this.#ofItem(job, item)));
    return histories.filter(({ errors }) => errors.length > 0);
  }

  /** The job with what is offered written into it, to be frozen into the first line of a run. */
  async informed(job: Job): Promise<Job> {
    const offered = await this.offered(job);
    return offered.length === 0 ? job : { ...job, history: [...(job.history ?? []), ...offered] };
  }

  async #ofItem(job: Job, { id, serial }: Job["items"][number]): Promise<History> {
    const { runs } = await this.#records.listRuns({ item: id, rehearsal: job.rehearsal, limit: mostRuns });
    const errors: EarlierError[] = [];
    for (const listed of runs.toReversed()) {
      const same = listed.items.some((item) => item.item === id && item.serial === serial);
      if (same && listed.outcome !== null) errors.push(...(await this.#errorsOf(job, id, listed)));
    }
    return { item: id, of: "item", source: "earlier runs in these records, as found", errors };
  }

  async #errorsOf(job: Job, item: string, { run, opened }: ListedRun): Promise<EarlierError[]> {
    const { result } = await this.#runs.result(run);
    const asFound = result.items.find((each) => each.item === item)?.passes.find(({ pass }) => pass === "as-found");
    return (asFound?.points ?? []).flatMap((point) => {
      const used = job.procedure.points.some(
        ({ temperature }) => Math.abs(temperature - point.nominal) <= sameTemperature,
      );
      if (point.status !== "measured" || !used) return [];
      const { error, budget, nominal } = point;
      return [{ date: opened.slice(0, 10), error: error.value, u: budget.u, temperature: nominal, source: run }];
    });
  }
}
