import { keepsRules, mayFollow, type OrderRules } from "./order-rules.ts";

/** What an order costs, s. Indices are places in `temperatures`; null stands for the surroundings before the first point. */
export interface OrderCosts {
  readonly temperatures: readonly number[];
  readonly between: (from: number | null, to: number) => number;
  /** From the last reading until everything can be packed. */
  readonly leaving: (last: number) => number;
}

export interface Order {
  readonly points: readonly number[];
  readonly seconds: number;
  /** Whether nothing cheaper can exist under the rules; otherwise it is the best that was found. */
  readonly exact: boolean;
}

/** Up to so many points every order is weighed. */
const exactUpTo = 11;

export const costOf = ({ between, leaving }: OrderCosts, points: readonly number[]): number =>
  points.reduce((sum, point, index) => sum + between(index === 0 ? null : points[index - 1]!, point), 0) +
  (points.length === 0 ? 0 : leaving(points.at(-1)!));

const isAllowed = (costs: OrderCosts, rules: OrderRules, points: readonly number[]): boolean =>
  keepsRules(rules, costs.temperatures, points);

/**
 * Least time by dynamic programming over (points visited, the last of them): every order under the rules is weighed, in
 * 2ⁿ·n² steps (Held and Karp 1962, Bellman 1962).
 */
const weighAll = (costs: OrderCosts, rules: OrderRules): number[] | null => {
  const count = costs.temperatures.length;
  const sets = 2 ** count;
  const cost = new Float64Array(sets * count).fill(Number.POSITIVE_INFINITY);
  const cameFrom = new Int8Array(sets * count).fill(-1);
  const fees = Array.from({ length: count }, (_, from) =>
    Array.from({ length: count }, (_, to) => (from === to ? 0 : costs.between(from, to))),
  );
  for (let point = 0; point < count; point += 1)
    if (mayFollow(rules, costs.temperatures, () => false, null, point))
      cost[2 ** point * count + point] = costs.between(null, point);
  for (let set = 1; set < sets; set += 1) {
    const visited = (index: number): boolean => (set & (1 << index)) !== 0;
    for (let last = 0; last < count; last += 1) {
      const soFar = cost[set * count + last]!;
      if (!Number.isFinite(soFar)) continue;
      for (let next = 0; next < count; next += 1) {
        if (visited(next) || !mayFollow(rules, costs.temperatures, visited, last, next)) continue;
        const place = (set | (1 << next)) * count + next;
        const now = soFar + fees[last]![next]!;
        if (now < cost[place]!) {
          cost[place] = now;
          cameFrom[place] = last;
        }
      }
    }
  }
  let set = sets - 1;
  let last = -1;
  let best = Number.POSITIVE_INFINITY;
  for (let point = 0; point < count; point += 1) {
    const whole = cost[set * count + point]! + costs.leaving(point);
    if (whole < best) [best, last] = [whole, point];
  }
  if (last < 0) return null;
  const points: number[] = [];
  while (last >= 0) {
    points.unshift(last);
    const before = cameFrom[set * count + last]!;
    set &= ~(1 << last);
    last = before;
  }
  return points;
};

/** Improves an order by moving single points and turning stretches round until nothing is won any more. */
const improved = (costs: OrderCosts, rules: OrderRules, begin: readonly number[]): number[] => {
  let points = [...begin];
  let seconds = costOf(costs, points);
  for (let again = true; again;) {
    again = false;
    for (let i = 0; i < points.length && !again; i += 1) {
      for (let j = 0; j < points.length && !again; j += 1) {
        if (i === j) continue;
        const moved = points.toSpliced(i, 1).toSpliced(j, 0, points[i]!);
        const [low, high] = i < j ? [i, j] : [j, i];
        const turned = [
          ...points.slice(0, low),
          ...points.slice(low, high + 1).toReversed(),
          ...points.slice(high + 1),
        ];
        for (const candidate of [moved, turned]) {
          if (!isAllowed(costs, rules, candidate)) continue;
          const now = costOf(costs, candidate);
          if (now < seconds - 1e-9) {
            [points, seconds, again] = [candidate, now, true];
            break;
          }
        }
      }
    }
  }
  return points;
};

/** Temperatures from the lowest up and from the highest down: a source does best without turning back more than once. */
const starts = ({ temperatures }: OrderCosts, written: readonly number[]): number[][] => {
  const rising = written.toSorted((a, b) => temperatures[a]! - temperatures[b]!);
  const falling = rising.toReversed();
  const turns = rising.map((_, at) => [...rising.slice(at), ...rising.slice(0, at).toReversed()]);
  return [[...written], rising, falling, ...turns];
};

/**
 * The order that costs least time under the rules: exact up to eleven points, beyond that the best of many starts improved
 * step by step (rules P7 and P8). The written order is among what is weighed, so the answer is never dearer than it.
 */
export const leastTimeOrder = (costs: OrderCosts, rules: OrderRules): Order => {
  const written = costs.temperatures.map((_, index) => index);
  const asWritten = { points: written, seconds: costOf(costs, written) };
  if (rules.written || written.length < 2) return { ...asWritten, exact: true };
  const exact = written.length <= exactUpTo;
  const found = exact
    ? [weighAll(costs, rules) ?? written]
    : starts(costs, written)
        .filter((points) => isAllowed(costs, rules, points))
        .map((points) => improved(costs, rules, points));
  const [best] = found
    .map((points) => ({ points, seconds: costOf(costs, points) }))
    .sort((a, b) => a.seconds - b.seconds);
  // A rounding error, or equal times, is no reason to leave what was written.
  const chosen =
    best === undefined || (best.seconds >= asWritten.seconds - 1e-6 && isAllowed(costs, rules, written))
      ? asWritten
      : best;
  return { ...chosen, exact };
};
