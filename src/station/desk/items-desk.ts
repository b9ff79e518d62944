import type { Job, PassResult, PointResult, Result } from "#calibration";
import type { ItemHistory, ItemSummary } from "#contract";
import { Fault } from "#fault";
import {
  expectedAfter,
  proposeInterval,
  type EarlierCalibration,
  type EarlierPoint,
  type IntervalProposal,
  type StatedError,
} from "#intervals";
import type { ListedRun, MeasuredItem, Records } from "#records";
import type { RunDesk } from "./run-desk.ts";

/** How many calibrations of an item are looked at, the newest first. */
const mostRuns = 60;
/** Two passes met the same temperature where they differ by no more, K. */
const sameTemperature = 1e-6;

const stated = (point: PointResult | undefined): StatedError | null =>
  point?.status === "measured"
    ? { error: point.error.value, u: point.budget.u, decision: point.conformity?.decision ?? null }
    : null;

/** Points of a pass, each temperature once: where it was met more often, the last time counts. */
const byTemperature = (pass: PassResult | undefined): readonly PointResult[] =>
  (pass?.points ?? []).filter(
    (point, index, all) =>
      point.status === "measured" &&
      !all.some(
        (later, at) =>
          at > index && later.status === "measured" && Math.abs(later.nominal - point.nominal) <= sameTemperature,
      ),
  );

const calibrationOf = (result: Result, item: string): EarlierCalibration | null => {
  const passes = result.items.find((each) => each.item === item)?.passes ?? [];
  const found = byTemperature(passes.find(({ pass }) => pass === "as-found"));
  const left = byTemperature(passes.find(({ pass }) => pass === "as-left"));
  const points = found.map((point): EarlierPoint => {
    const after = left.find(({ nominal }) => Math.abs(nominal - point.nominal) <= sameTemperature);
    const limits = point.status === "measured" ? (point.conformity?.tolerance ?? null) : null;
    return { nominal: point.nominal, asFound: stated(point), asLeft: stated(after), limits };
  });
  return points.length === 0 ? null : { day: result.opened.slice(0, 10), run: result.run, points };
};

const day = 86_400_000;
const daysInYear = 365.2425;
const stepsAhead = 24;

/** What the drift makes likely up to the day on which the item is due. */
const aheadOf = ({ drifts, due }: IntervalProposal): ItemHistory["ahead"] =>
  due === null
    ? []
    : drifts.map((drift) => {
        const from = Date.parse(drift.lastDay);
        const length = Date.parse(due) - from;
        return {
          nominal: drift.nominal,
          expected: Array.from({ length: stepsAhead + 1 }, (_, step) => {
            const after = (length * step) / stepsAhead;
            return {
              day: new Date(from + after).toISOString().slice(0, 10),
              ...expectedAfter(drift, after / day / daysInYear),
            };
          }),
        };
      });

/** Items with what they showed over the years. */
export class ItemsDesk {
  readonly #records: Records;
  readonly #runs: RunDesk;

  constructor(records: Records, runs: RunDesk) {
    this.#records = records;
    this.#runs = runs;
  }

  async list(): Promise<ItemSummary[]> {
    const measured = await this.#records.measuredItems();
    return Promise.all(measured.map((item) => this.#summary(item)));
  }

  /** What an item showed. Rehearsals count only where it was never measured in earnest. */
  async history(item: string, serial: string): Promise<ItemHistory> {
    const known = (await this.#records.measuredItems()).find((each) => each.item === item && each.serial === serial);
    if (known === undefined)
      throw new Fault(
        "records.not-found",
        `No ended run of these records measured an item ${item} with serial number ${serial}.`,
        {
          data: { item, serial },
        },
      );
    const rehearsals = known.rehearsals === known.runs;
    const listed = await this.#runsOf(item, serial, rehearsals);
    const calibrations: EarlierCalibration[] = [];
    for (const { run } of listed) {
      const { result } = await this.#runs.result(run);
      const calibration = calibrationOf(result, item);
      if (calibration !== null) calibrations.push(calibration);
    }
    const summary = await this.#summary(known);
    const proposal = proposeInterval(calibrations, { inUse: (await this.#jobOf(known.newestRun)).interval?.months });
    return {
      summary,
      job: (await this.#records.readRun(known.newestRun)).job,
      calibrations,
      rehearsals,
      certificates: listed.flatMap(({ run, certificate }) =>
        certificate === null ? [] : [{ run, number: certificate }],
      ),
      ahead: aheadOf(proposal),
      proposal,
    };
  }

  /** Its ended runs, the earliest first. */
  async #runsOf(item: string, serial: string, rehearsal: boolean): Promise<readonly ListedRun[]> {
    const { runs } = await this.#records.listRuns({ item, rehearsal, limit: mostRuns });
    return runs
      .filter(
        ({ outcome, items }) => outcome !== null && items.some((each) => each.item === item && each.serial === serial),
      )
      .toReversed();
  }

  async #jobOf(run: string): Promise<Job> {
    const [opened] = await this.#records.readEvents(run, [0]);
    if (opened?.kind === "run-opened") return opened.job;
    throw new Fault("records.damaged", `Run ${run} does not begin with its opening.`, { data: { run } });
  }

  async #summary({ item, serial, tag, runs, rehearsals, newestRun, newestOpened }: MeasuredItem): Promise<ItemSummary> {
    const { items, place, customer, decision } = await this.#records.readRun(newestRun);
    return {
      item,
      serial,
      tag,
      description: items.find((each) => each.item === item)?.description ?? tag,
      place,
      customer,
      runs,
      rehearsals,
      lastRun: newestRun,
      lastDay: newestOpened.slice(0, 10),
      decision,
    };
  }
}
