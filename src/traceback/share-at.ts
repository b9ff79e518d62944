import { calendarDay, type CalendarDay } from "#calibration";
import type { Suspicion } from "./suspicion.ts";

/** What of the whole correction applied on a day, 0 to 1, and its standard uncertainty as a share of the same. */
export interface Share {
  readonly share: number;
  readonly u: number;
}

interface Mark {
  readonly day: CalendarDay;
  readonly share: number;
}

const between = (marks: readonly Mark[], day: CalendarDay): number => {
  const after = marks.find((mark) => mark.day >= day);
  if (after === undefined) return 1;
  const before = marks.findLast((mark) => mark.day < day);
  if (before === undefined) return after.share;
  return before.share + ((day - before.day) / (after.day - before.day)) * (after.share - before.share);
};

/** Half of limits that are as wide as the correction itself, as a standard uncertainty (rectangular, GUM 4.3.7). */
const halfUnknown = 1 / (2 * Math.sqrt(3));

/**
 * The share of the correction that a result of `day` is given (rules T2 and T3). Nought up to the last good evidence, the
 * whole of it from the finding on.
 */
export const shareAt = ({ good, bad, course }: Suspicion, day: CalendarDay): Share => {
  const [first, last] = [calendarDay(good), calendarDay(bad)];
  if (day <= first) return { share: 0, u: 0 };
  if (day >= last) return { share: 1, u: 0 };
  switch (course.kind) {
    case "step":
      return { share: 1, u: 0 };
    case "unknown":
      return { share: 0.5, u: halfUnknown };
    case "linear":
      return { share: (day - first) / (last - first), u: 0 };
    case "checks": {
      const seen = course.shares.map((mark) => ({ day: calendarDay(mark.day), share: mark.share }));
      // A check on the day of the good evidence or of the finding says more than the two ends do.
      const ends = [
        ...(seen[0]!.day > first ? [{ day: first, share: 0 }] : []),
        ...seen,
        ...(seen.at(-1)!.day < last ? [{ day: last, share: 1 }] : []),
      ];
      return { share: between(ends, day), u: 0 };
    }
  }
};
