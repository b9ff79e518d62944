import { plannedPoints, type Item, type Job } from "#calibration";
import { leastTimeOrder } from "../order/least-time.ts";
import { orderCosts } from "../order/order-costs.ts";
import { orderRules, type OrderRules } from "../order/order-rules.ts";
import { leavingTime } from "../pace/cooling.ts";
import { paceOf, type LearntPace, type Pace } from "../pace/pace.ts";
import { sweepTime } from "../pace/sweep-time.ts";
import { fitInSource } from "../proof/fit-in-source.ts";

/** A job that is to be done on the day. */
export interface DayJob {
  readonly job: Job;
  readonly target: (job: Job, item: Item, temperature: number) => number;
  readonly learnt?: LearntPace | null | undefined;
}

/** Items that are in one source at the same time, and the set points that they share. */
export interface Batch {
  readonly jobs: readonly string[];
  readonly items: readonly { readonly job: string; readonly item: string; readonly tag: string }[];
  readonly source: string;
  readonly reference: string;
  /** In the order in which they are visited, °C. */
  readonly temperatures: readonly number[];
  /** Times of each point, s: until the set point is reached, and from there until the last reading. */
  readonly legs: readonly { readonly temperature: number; readonly travel: number; readonly settleAndRead: number }[];
  readonly seconds: number;
  readonly hottest: number;
  readonly ambient: number;
  readonly pace: Pace;
}

interface Draft {
  readonly members: readonly DayJob[];
}

/** The members' jobs as one: all the items in the first one's source, at every set point that any of them asks for. */
const merged = ({ members }: Draft): Job => {
  const [first] = members;
  const { job } = first!;
  if (members.length === 1) return job;
  const temperatures = [
    ...new Set(members.flatMap((each) => each.job.procedure.points.map(({ temperature }) => temperature))),
  ];
  return {
    ...job,
    items: members.flatMap((each) => each.job.items),
    procedure: {
      ...job.procedure,
      points: temperatures.toSorted((a, b) => a - b).map((temperature) => ({ temperature })),
      readings: {
        count: Math.max(...members.map((each) => each.job.procedure.readings.count)),
        interval: Math.max(...members.map((each) => each.job.procedure.readings.interval)),
      },
      settling: {
        ...job.procedure.settling,
        minimumWindow: Math.max(...members.map((each) => each.job.procedure.settling.minimumWindow)),
      },
    },
  };
};

/** What binds the order of jobs done together: what binds any of them, as far as it can be carried over. */
const rulesOf = (draft: Draft, job: Job): OrderRules => {
  if (draft.members.length === 1) return orderRules(job);
  const each = draft.members.map((member) => orderRules(member.job));
  const firsts = new Set(
    draft.members.flatMap((member, index) =>
      [...each[index]!.first].map((place) => member.job.procedure.points[place]!.temperature),
    ),
  );
  const direction = each.find((rules) => rules.direction !== null)?.direction ?? null;
  return {
    written: false,
    direction,
    first: new Set(job.procedure.points.flatMap(({ temperature }, index) => (firsts.has(temperature) ? [index] : []))),
    last: null,
    approach: job.procedure.points.map(() => null),
    words: [...new Set(each.flatMap(({ words }) => words))],
  };
};

const batchOf = (draft: Draft): Batch => {
  const job = merged(draft);
  const [first] = draft.members;
  const pace = paceOf(job.kit.source, first!.learnt);
  const ambient = job.conditions.ambientTemperature.value;
  const owner = new Map(draft.members.flatMap((member) => member.job.items.map((item) => [item, member] as const)));
  const model = {
    job,
    pace,
    target: (item: Item, temperature: number): number => {
      const member = owner.get(item) ?? first!;
      return member.target(member.job, item, temperature);
    },
  };
  const order = leastTimeOrder(orderCosts(model), rulesOf(draft, job));
  const { points } = job.procedure;
  const closing = plannedPoints(job.procedure).slice(points.length);
  const planned = [...order.points.map((index) => points[index]!), ...closing];
  const visited = planned.map(({ temperature }) => temperature);
  const legs = planned.map((point, index) => {
    const time = sweepTime(model, visited[index - 1] ?? ambient, point);
    return { temperature: point.temperature, travel: time.travel, settleAndRead: time.settle + time.read };
  });
  return {
    jobs: draft.members.map((member) => member.job.job),
    items: draft.members.flatMap((member) =>
      member.job.items.map(({ id, tag }) => ({ job: member.job.job, item: id, tag })),
    ),
    source: job.kit.source.id,
    reference: job.kit.reference.id,
    temperatures: visited,
    legs,
    seconds: legs.reduce((sum, leg) => sum + leg.travel + leg.settleAndRead, 0),
    hottest: Math.max(...visited),
    ambient,
    pace,
  };
};

const sameKit = (one: Job, other: Job): boolean =>
  (["reference", "readout", "source"] as const).every(
    (entry) => one.kit[entry].id === other.kit[entry].id && one.kit[entry].revision === other.kit[entry].revision,
  );

/** Jobs whose order is bound point by point, or that have a second pass, keep the source to themselves. */
const keepsAlone = (job: Job): boolean => {
  const rules = orderRules(job);
  return (
    rules.written ||
    rules.last !== null ||
    rules.approach.some((side) => side !== null) ||
    plannedPoints(job.procedure).length > job.procedure.points.length ||
    job.procedure.passes.length > 1
  );
};

/**
 * Whether jobs can be in the source at the same time: the same kit, wells known and enough for all, no item taken beyond its
 * limits, no opposite directions.
 */
const canJoin = (draft: Draft): boolean => {
  const jobs = draft.members.map(({ job }) => job);
  const [first] = jobs;
  if (jobs.some(keepsAlone) || jobs.some((job) => !sameKit(first!, job))) return false;
  if (first!.kit.source.wells === undefined) return false;
  const directions = new Set(jobs.map((job) => orderRules(job).direction).filter((way) => way !== null));
  if (directions.size > 1) return false;
  const job = merged(draft);
  const within = job.items.every(({ limits }) =>
    job.procedure.points.every(({ temperature }) => temperature >= limits.minimum && temperature <= limits.maximum),
  );
  return within && fitInSource(job).length === 0;
};

const whole = (draft: Draft): number => {
  const batch = batchOf(draft);
  return batch.seconds + leavingTime(batch.pace, batch.temperatures.at(-1)!, batch.ambient).transport;
};

/**
 * Jobs gathered into batches: the two whose joining saves most time are joined, again and again, until nothing is saved any
 * more (rule P14). The answer does not depend on the order in which the jobs were given.
 */
export const gatherBatches = (jobs: readonly DayJob[]): Batch[] => {
  let drafts: Draft[] = jobs.toSorted((a, b) => (a.job.job < b.job.job ? -1 : 1)).map((each) => ({ members: [each] }));
  for (;;) {
    let best: { readonly saved: number; readonly joined: Draft; readonly of: readonly [Draft, Draft] } | null = null;
    for (const [index, one] of drafts.entries()) {
      for (const other of drafts.slice(index + 1)) {
        const joined: Draft = { members: [...one.members, ...other.members] };
        if (!canJoin(joined)) continue;
        const saved = whole(one) + whole(other) - whole(joined);
        if (saved > (best?.saved ?? 0)) best = { saved, joined, of: [one, other] };
      }
    }
    if (best === null) return drafts.map(batchOf);
    const { joined, of } = best;
    drafts = [...drafts.filter((draft) => !of.includes(draft)), joined].toSorted((a, b) =>
      a.members[0]!.job.job < b.members[0]!.job.job ? -1 : 1,
    );
  }
};
