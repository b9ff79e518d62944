import type { JobPlan, PlannedItem, PlannedPoint } from "./plan-job.ts";
import type { KitComparison } from "./kits/compare-kits.ts";
import { clockText, type Timetable } from "./day/timetable.ts";

const pointRecord = ({ risk, time, note, limiting, ...point }: PlannedPoint) => ({
  ...point,
  toleranceNote: note,
  passProbability: risk?.pass ?? null,
  conformanceProbability: risk?.conformance ?? null,
  specificRisk: risk?.specificRisk ?? null,
  globalRisk: risk?.globalRisk ?? null,
  assumption: risk?.assumption ?? null,
  limiting,
  time: {
    seconds: time.total,
    shortest: time.shortest,
    longest: time.longest,
    travel: time.travel,
    settle: time.settle,
    read: time.read,
  },
});

const itemRecord = ({ points, ...item }: PlannedItem) => ({ ...item, points: points.map(pointRecord) });

/** A plan as JSON, for programs and pages: units in K, °C and s; probabilities 0 to 1. */
export const planRecord = ({ pace, ...plan }: JobPlan) => ({
  ...plan,
  obstacles: plan.obstacles.map(({ code, message, data }) => ({
    code,
    message,
    ...(data === undefined ? {} : { data }),
  })),
  items: plan.items.map(itemRecord),
  time: { ...plan.time, cooldownTimeConstant: pace.cooldown },
});

/** A timetable as JSON: clock times as `HH:MM`, and minutes after midnight beside them. */
export const timetableRecord = ({ batches, entries, finish, leftOut, assumptions }: Timetable) => ({
  batches: batches.map(({ jobs, items, source, temperatures, seconds }) => ({
    jobs,
    items,
    source,
    temperatures,
    seconds,
  })),
  entries: entries.map((entry) => ({ ...entry, start: clockText(entry.from), end: clockText(entry.to) })),
  finish: clockText(finish),
  leftOut,
  assumptions,
});

/** A comparison of kits as JSON; the whole plan of each is left out but for its points. */
export const comparisonRecord = ({ kits, best, words }: KitComparison) => ({
  kits: kits.map(({ plan, obstacles, ...kit }) => ({
    ...kit,
    obstacles: obstacles.map(({ code, message }) => ({ code, message })),
    items: plan.items.map(({ item, tag, points }) => ({
      item,
      tag,
      points: points.map(({ point, temperature, expectedU, ratio, risk, time }) => ({
        point,
        temperature,
        expectedU,
        ratio,
        conformanceProbability: risk?.conformance ?? null,
        globalRisk: risk?.globalRisk ?? null,
        seconds: time.total,
      })),
    })),
  })),
  best,
  words,
});

export type PlanRecord = ReturnType<typeof planRecord>;
export type TimetableRecord = ReturnType<typeof timetableRecord>;
export type ComparisonRecord = ReturnType<typeof comparisonRecord>;
