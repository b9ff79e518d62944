import type { Pass } from "#calibration";
import type { BenchEvidence, ItemEvidence } from "../evidence/evidence.ts";
import { characteristicOf } from "../hypotheses/characteristic.ts";
import { posteriorOf, type Candidate } from "../weigh/posterior.ts";
import type { ItemDiagnosis, Suspicion, TellingPoint } from "./diagnosis.ts";
import { wordsOf } from "./fault-words.ts";
import { inPercent, surenessOf } from "./sureness.ts";
import { errorOf, tellingPoint } from "./telling-point.ts";

/** Probability of a fault from which one is suspected, and from which it is left open. Ours: false alarms cost a morning. */
export const suspectedFrom = 0.9;
const unclearFrom = 0.3;
/** A suspicion this unlikely is not worth a line. */
const leastMentioned = 0.02;
/** Suspicions within this factor of the first cannot be told apart from it. */
const factorApart = 10;

const suspicionOf = (item: ItemEvidence, candidate: Candidate): Suspicion => {
  const { fault, variant, probability, weighed, owner, problem } = candidate;
  const { what, check, test } = wordsOf(fault, { tag: item.tag, sensor: item.sensor, variant });
  const own = characteristicOf(item.sensor);
  const predicted = weighed.predicted.filter((_, index) => problem.places[index]!.owner === owner);
  return {
    fault,
    variant,
    words: what,
    probability,
    sureness: surenessOf(probability),
    figures: weighed.model.parameters.map(({ name, unit }, index) => ({ name, unit, value: weighed.values[index]! })),
    errors: item.points.map(({ reference, junction }, index) => {
      const error = errorOf(own, predicted[index]!, reference, junction);
      return Number.isFinite(error) ? error : null;
    }),
    check,
    test,
  };
};

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

const kelvins = (value: number): string =>
  `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(Math.abs(value) < 10 ? 2 : 0)} K`;

const nextWords = ({ temperature, expected }: TellingPoint): string =>
  `A point at ${temperature} °C would tell best: ${expected
    .map(({ error, words }) => `${kelvins(error)} if ${words}`)
    .join(", ")}.`;

const sentenceOf = (
  tag: string,
  { suspicions, together, healthy, verdict, next }: Omit<ItemDiagnosis, "sentence">,
): string => {
  const [first] = suspicions;
  if (verdict === "nothing" || first === undefined)
    return `Nothing but an ordinary error of calibration is seen in ${tag} (${inPercent(healthy)}).`;
  const named = suspicions.slice(0, together);
  const nextSentence = next === null ? "" : ` ${nextWords(next)}`;
  const open = verdict === "unclear" ? `${tag} may be sound (${inPercent(healthy)}). ` : "";
  if (named.length === 1)
    return `${open}${capital(first.sureness)} (${inPercent(first.probability)}): ${first.words}. ${first.check} Two-minute test: ${first.test}${nextSentence}`;
  const list = named.map(({ words, probability }) => `${words} (${inPercent(probability)})`).join("; or ");
  const apart =
    next === null
      ? " No further temperature within reach would tell them apart; the two-minute tests do."
      : nextSentence;
  return `${open}These points cannot tell apart: ${list}.${apart} Two-minute test of the first: ${first.test}`;
};

const diagnoseItem = (
  evidence: BenchEvidence,
  index: number,
  candidates: readonly Candidate[],
  pass: Pass,
): ItemDiagnosis => {
  const item = evidence.items[index]!;
  const healthy = candidates.find(({ fault }) => fault === "healthy")?.probability ?? 1;
  const faults = candidates.filter(({ fault, probability }) => fault !== "healthy" && probability >= leastMentioned);
  const top = faults[0];
  const doubted = top !== undefined && 1 - healthy >= unclearFrom;
  const together =
    top === undefined ? 0 : faults.filter((each) => each.probability * factorApart >= top.probability).length;
  // What stands beside the first suspicion: the second, or that nothing is wrong.
  const rivals = doubted
    ? candidates.filter((each) => each !== top && each.probability * factorApart >= top.probability)
    : [];
  const pair = top !== undefined && rivals[0] !== undefined ? ([top, rivals[0]] as const) : null;
  const diagnosis = {
    item: item.item,
    tag: item.tag,
    pass,
    verdict: !doubted ? "nothing" : 1 - healthy >= suspectedFrom ? "suspected" : "unclear",
    healthy,
    points: item.points.map(({ point }) => point),
    suspicions: doubted ? faults.map((candidate) => suspicionOf(item, candidate)) : [],
    together: doubted ? together : 0,
    next: pair === null ? null : tellingPoint(evidence, index, pair),
  } as const;
  return { ...diagnosis, sentence: sentenceOf(item.tag, diagnosis) };
};

/** What is probably wrong with each item that has points, by all hypotheses weighed against them. Pure: same points, same answer. */
export const diagnoseBench = (evidence: BenchEvidence, pass: Pass): readonly ItemDiagnosis[] =>
  posteriorOf(evidence).flatMap((candidates, index) =>
    candidates.length === 0 ? [] : [diagnoseItem(evidence, index, candidates, pass)],
  );
