import { plannedPoints, type Job } from "#calibration";

type Direction = "rising" | "falling";

/** What binds the order of the points of a job, by their places in the procedure. */
export interface OrderRules {
  /** No order but the written one is allowed. */
  readonly written: boolean;
  readonly direction: Direction | null;
  /** These are visited before all the others, in whatever order. */
  readonly first: ReadonlySet<number>;
  /** This one stays last: it repeats the first, to show what the run did to the item. */
  readonly last: number | null;
  /** From which side a point is approached, where that is what it is for (hysteresis). */
  readonly approach: readonly (Direction | null)[];
  /** Each binding in words. */
  readonly words: readonly string[];
}

const approachesWritten = (temperatures: readonly number[]): (Direction | null)[] =>
  temperatures.map((temperature, index) => {
    const before = temperatures[index - 1];
    return before === undefined || before === temperature ? null : temperature > before ? "rising" : "falling";
  });

/** Points whose temperature is met again from the other side: hysteresis is run there. */
const hysteresisOf = (temperatures: readonly number[]): (Direction | null)[] => {
  const written = approachesWritten(temperatures);
  return temperatures.map((temperature, index) => {
    const twins = temperatures.flatMap((other, place) => (other === temperature ? [written[place]!] : []));
    const bothWays = twins.includes("rising") && twins.includes("falling");
    return bothWays ? written[index]! : null;
  });
};

/**
 * What binds the order (rule P6): the procedure's own word; both ways where hysteresis is run; a repeated first point stays
 * last; and thermocouples rise, because a wire that was hot is not moved back into a new gradient (common practice; cg-8,
 * from memory) where the procedure says nothing.
 */
export const orderRules = ({ procedure, items }: Pick<Job, "procedure" | "items">): OrderRules => {
  const temperatures = procedure.points.map(({ temperature }) => temperature);
  const { order } = procedure;
  const words: string[] = [];
  const count = temperatures.length;
  const bothWays = hysteresisOf(temperatures);
  const approach = procedure.points.map(({ direction: side }, index) => side ?? bothWays[index]!);
  const first = new Set(temperatures.flatMap((value, index) => (value === order?.first ? [index] : [])));
  const repeated = count > 2 && temperatures[count - 1] === temperatures[0];
  const last = repeated ? count - 1 : null;
  const hysteresis = approach.some((way) => way !== null);
  const rises =
    items.some(({ sensor }) => sensor.kind === "thermocouple") && order === undefined && !hysteresis && !repeated;
  const direction =
    order?.kind === "rising" || order?.kind === "falling" ? order.kind : rises ? ("rising" as const) : null;
  if (procedure.ramp !== undefined) words.push("The ramps of a switch go up and down in turn.");
  if (order?.kind === "as-written") words.push("The procedure binds the order as it is written.");
  if (order?.kind === "rising" || order?.kind === "falling")
    words.push(`The procedure asks for ${order.kind} temperatures.`);
  if (rises)
    words.push(
      "Thermocouples are taken upwards, so that a wire that was hot does not come into another gradient (common practice); procedure.order says otherwise where it must.",
    );
  if (first.size > 0) words.push(`The procedure asks for ${order!.first} °C first.`);
  if (hysteresis) words.push("Points are approached from the side that the procedure gives them.");
  if (last !== null) words.push(`${temperatures[last]} °C at the end repeats the first point and stays last.`);
  const closes = plannedPoints(procedure).length > count;
  if (closes) words.push("The first point is measured once more at the end, so it stays the first.");
  if (last !== null || closes) first.add(0);
  return {
    written: order?.kind === "as-written" || procedure.ramp !== undefined,
    direction,
    first,
    last,
    approach,
    words,
  };
};

/** Whether a point may follow another (null: at the beginning) when `visited` are done. */
export const mayFollow = (
  rules: OrderRules,
  temperatures: readonly number[],
  visited: (index: number) => boolean,
  before: number | null,
  next: number,
): boolean => {
  const { direction, first, last, approach } = rules;
  if (first.size > 0 && !first.has(next) && [...first].some((index) => !visited(index))) return false;
  if (next === last && temperatures.some((_, index) => index !== last && !visited(index))) return false;
  if (before === null) return approach[next] === null || approach[next] === undefined || next === 0;
  const step = temperatures[next]! - temperatures[before]!;
  // A first point that was asked for comes from outside the course.
  if (direction !== null && !first.has(before) && (direction === "rising" ? step < 0 : step > 0)) return false;
  const side = approach[next] ?? null;
  return side === null || (side === "rising" ? step > 0 : step < 0);
};

/** Whether an order keeps the rules: every point once, each where it may be. */
export const keepsRules = (rules: OrderRules, temperatures: readonly number[], points: readonly number[]): boolean => {
  const done = new Set<number>();
  return points.every((point, index) => {
    const before = index === 0 ? null : points[index - 1]!;
    const allowed = mayFollow(rules, temperatures, (other) => done.has(other), before, point);
    done.add(point);
    return allowed;
  });
};

/** Whether the points of a job, by their places, may be visited in this order. */
export const orderIsAllowed = (job: Pick<Job, "procedure" | "items">, points: readonly number[]): boolean => {
  const temperatures = job.procedure.points.map(({ temperature }) => temperature);
  const whole = points.length === temperatures.length && new Set(points).size === points.length;
  if (!whole || points.some((point) => temperatures[point] === undefined)) return false;
  const rules = orderRules(job);
  return rules.written ? points.every((point, index) => point === index) : keepsRules(rules, temperatures, points);
};
