import type { BenchEvidence, ItemEvidence } from "../evidence/evidence.ts";
import { characteristicOf } from "../hypotheses/characteristic.ts";
import type { FaultName } from "../hypotheses/fault-name.ts";
import { itemModels, junctionModel } from "../hypotheses/models-of.ts";
import { referenceModels } from "../hypotheses/reference-models.ts";
import type { SignalModel } from "../hypotheses/signal-model.ts";
import { problemOf } from "./bench-problem.ts";
import type { Problem } from "./problem.ts";
import { weigh, type Weighed } from "./weigh.ts";

/** A hypothesis about one item, with what it was weighed against and which place the item has there. */
export interface Candidate {
  readonly fault: FaultName;
  readonly variant: string;
  readonly probability: number;
  readonly weighed: Weighed;
  readonly problem: Problem;
  readonly owner: number;
}

interface Scored {
  readonly weighed: Weighed;
  readonly logWeight: number;
}

/** Least movement of the source between points from which a signal that stands still means something, K. */
const movementToBeStuck = 5;

/** Temperatures so far above ambient are usual, K: what signals a channel may show. */
const usualReach = 200;

const logSum = (values: readonly number[]): number => {
  const largest = Math.max(...values);
  if (!Number.isFinite(largest)) return largest;
  return largest + Math.log(values.reduce((sum, value) => sum + Math.exp(value - largest), 0));
};

const middleOf = (values: readonly number[]): number => values.toSorted((a, b) => a - b)[values.length >> 1]!;

const aboutOf = ({ sensor, junction, points, ordinary }: ItemEvidence) => ({
  sensor,
  junction,
  ordinary: middleOf(points.map(({ reference }) => ordinary(reference))),
});

/** What is suspected of one item by itself. */
const scoreItem = (evidence: ItemEvidence, ambient: number, problem: Problem): Scored[] => {
  const own = characteristicOf(evidence.sensor);
  const references = evidence.points.map(({ reference }) => reference);
  const [low, high] = [Math.min(...references), Math.max(...references)];
  const cold = evidence.points[0]!.junction;
  const middle = own.signal(ambient, cold);
  const reached = [low, high, ambient + usualReach].map((temperature) =>
    Math.abs(own.signal(temperature, cold) - middle),
  );
  const half = Math.max(Number.MIN_VALUE, ...reached.filter((each) => Number.isFinite(each)));
  const span = { middle: Number.isFinite(middle) ? middle : 0, half };
  const models = itemModels(aboutOf(evidence), span).filter(
    ({ fault }) => fault !== "stuck" || high - low >= movementToBeStuck,
  );
  const total = models.reduce((sum, { weight }) => sum + weight, 0);
  return models.map((model) => {
    const weighed = weigh(problem, model);
    return { weighed, logWeight: weighed.logEvidence + Math.log(model.weight / total) };
  });
};

interface Shared {
  readonly model: SignalModel;
  readonly items: readonly number[];
}

/** Hypotheses that concern several items at once: the reference, a junction that they share, two items exchanged. */
const sharedModels = ({ items, referenceSensor }: BenchEvidence, present: readonly number[]): Shared[] => {
  const shared: Shared[] = [];
  if (
    referenceSensor !== null &&
    present.every((index) => items[index]!.points.every((p) => p.referenceSignal !== null))
  ) {
    const owners = present.map((index) => characteristicOf(items[index]!.sensor));
    for (const model of referenceModels(referenceSensor, owners)) shared.push({ model, items: present });
  }
  const junctions = new Set(present.map((index) => items[index]!.junctionName));
  for (const name of junctions) {
    const sharing = present.filter((index) => items[index]!.junctionName === name);
    const model = name === null ? null : junctionModel(sharing.map((index) => items[index]!.sensor));
    if (model !== null) shared.push({ model, items: sharing });
  }
  for (const one of present)
    for (const other of present) {
      const [a, b] = [items[one]!, items[other]!];
      if (other <= one || a.sensor.kind !== b.sensor.kind) continue;
      const exchanged = [characteristicOf(b.sensor), characteristicOf(a.sensor)];
      const model: SignalModel = {
        fault: "swapped",
        variant: `${a.tag} and ${b.tag}`,
        weight: 0.002,
        parameters: [],
        predict: ({ owner, reference, offset, junction }) => exchanged[owner]!.signal(reference + offset, junction),
      };
      if (JSON.stringify(a.sensor) !== JSON.stringify(b.sensor)) shared.push({ model, items: [one, other] });
    }
  return shared;
};

/** Several models of one fault and variant are one suspicion; the likeliest of them speaks for it. */
const merged = (candidates: readonly Candidate[]): Candidate[] => {
  const groups = new Map<string, Candidate>();
  for (const candidate of candidates) {
    const key = `${candidate.fault} ${candidate.variant}`;
    const known = groups.get(key);
    const best = known !== undefined && known.probability >= candidate.probability ? known : candidate;
    groups.set(key, { ...best, probability: candidate.probability + (known?.probability ?? 0) });
  }
  return [...groups.values()].toSorted((a, b) => b.probability - a.probability);
};

/**
 * Posterior probabilities of all hypotheses, for each item, the likeliest first; one fault at a time is weighed for each item,
 * and one for the bench. An item without points has none.
 */
export const posteriorOf = (evidence: BenchEvidence): readonly (readonly Candidate[])[] => {
  const present = evidence.items.flatMap(({ points }, index) => (points.length > 0 ? [index] : []));
  if (present.length === 0) return evidence.items.map(() => []);
  const problems = evidence.items.map((_, index) => problemOf(evidence, [index]));
  const scores = evidence.items.map((item, index) =>
    item.points.length === 0 ? [] : scoreItem(item, evidence.ambient, problems[index]!),
  );
  const sums = scores.map((list) => logSum(list.map(({ logWeight }) => logWeight)));
  const soundBench = present.reduce((sum, index) => sum + sums[index]!, 0);
  const shared = sharedModels(evidence, present).map(({ model, items }) => {
    const problem = problemOf(evidence, items);
    const weighed = weigh(problem, model);
    const others = present.filter((index) => !items.includes(index)).reduce((sum, index) => sum + sums[index]!, 0);
    return { items, problem, weighed, logWeight: Math.log(model.weight) + weighed.logEvidence + others };
  });
  const all = logSum([soundBench, ...shared.map(({ logWeight }) => logWeight)]);
  return evidence.items.map((_, index) => {
    if (!present.includes(index)) return [];
    const concerning = shared.filter(({ items }) => items.includes(index));
    const ofBench = concerning.map(({ items, problem, weighed, logWeight }) => ({
      fault: weighed.model.fault,
      variant: weighed.model.variant,
      probability: Math.exp(logWeight - all),
      weighed,
      problem,
      owner: items.indexOf(index),
    }));
    const left = Math.max(0, 1 - ofBench.reduce((sum, { probability }) => sum + probability, 0));
    const ofItem = scores[index]!.map(({ weighed, logWeight }) => ({
      fault: weighed.model.fault,
      variant: weighed.model.variant,
      probability: left * Math.exp(logWeight - sums[index]!),
      weighed,
      problem: problems[index]!,
      owner: 0,
    }));
    return merged([...ofBench, ...ofItem]);
  });
};
