import type { Figure, Item, Job, MeasuredPoint, ResultBudgetLine } from "#contract";
import {
  chance,
  nominal,
  percent,
  placesFor,
  plain,
  signal,
  signed,
  typeset,
  typesetError,
} from "../figures/digits.ts";
import { verdictWord } from "../face/shapes.tsx";
import type { Origin, OriginStep } from "../origin/origin-drawer.tsx";
import { limitsText, ruleWords, sensorWords } from "../plan/words.ts";

const windowWords = (point: MeasuredPoint): string =>
  `Mean of ${point.readings} readings from ${Math.round(point.window.from)} s to ${Math.round(point.window.to)} s on the run's clock; as they follow each other they count as ${plain(point.effectiveReadings, 1)} independent ones.`;

const asRead = (figure: Figure): OriginStep => ({
  title: `${signal(figure.value)} ${figure.unit}, mean as read`,
  words: `From ${figure.origin.length} lines of the log.`,
});

export const referenceOrigin = (point: MeasuredPoint, job: Job): Origin => {
  const { reference } = job.kit;
  return {
    title: `Reference at ${nominal(point.nominal)} °C`,
    value: `${typeset(point.reported.reference)} °C`,
    steps: [
      { title: "Mean over the window", words: windowWords(point) },
      {
        title: `Conversion: ${sensorWords(reference.sensor)}`,
        words: `${reference.id} revision ${reference.revision}, certificate ${reference.calibration.certificate} of ${reference.calibration.laboratory}.`,
      },
      asRead(point.referenceSignal),
    ],
    lines: point.reference.origin,
  };
};

export const indicationOrigin = (point: MeasuredPoint, item: Item): Origin => ({
  title: `Indication of ${item.tag} at ${nominal(point.nominal)} °C`,
  value: `${typeset(point.reported.indication)} °C`,
  steps: [
    { title: "Mean over the window", words: windowWords(point) },
    { title: `Conversion: ${sensorWords(item.sensor)}`, words: `${item.description}, serial ${item.serial}.` },
    asRead(point.signal),
  ],
  lines: point.indication.origin,
});

export const errorOrigin = (point: MeasuredPoint, item: Item): Origin => ({
  title: `Error of ${item.tag} at ${nominal(point.nominal)} °C`,
  value: `${typesetError(point.reported.error)} K`,
  steps: [
    {
      title: "Indication less reference, pair by pair",
      words: `${typeset(point.reported.indication)} °C − ${typeset(point.reported.reference)} °C, from readings taken at the same moments; rounded by ILAC-P14 to the place of its U.`,
    },
    { title: "Mean over the window", words: windowWords(point) },
  ],
  lines: point.error.origin,
});

const freedom = (degrees: number | null): string =>
  degrees === null ? "infinitely many" : plain(degrees, degrees < 100 ? 1 : 0);

export const uncertaintyOrigin = (point: MeasuredPoint): Origin => {
  const { budget } = point;
  const largest = budget.lines.toSorted((a, b) => b.share - a.share).slice(0, 3);
  return {
    title: `Expanded uncertainty at ${nominal(point.nominal)} °C`,
    value: `${point.reported.U} K`,
    steps: [
      {
        title: `U = k · u, k = ${point.reported.k}`,
        words: `u = ${plain(budget.u, placesFor(budget.u, 5))} K; coverage ${percent(budget.coverage)} by the t-distribution with ${freedom(budget.degreesOfFreedom)} effective degrees of freedom (Welch-Satterthwaite).`,
      },
      {
        title: `${budget.lines.length} lines, combined by the law of propagation`,
        words: `The largest: ${largest.map(({ name, share }) => `${name} ${percent(share)}`).join(", ")}.`,
      },
    ],
    lines: point.error.origin,
  };
};

export const lineOrigin = (line: ResultBudgetLine): Origin => ({
  title: line.name,
  value: `${plain(line.contribution, placesFor(line.contribution, 5))} K`,
  steps: [
    {
      title: "Contribution = sensitivity · u",
      words: `${signed(line.sensitivity, placesFor(Math.abs(line.sensitivity), 4))} K/${line.unit} · ${plain(line.u, placesFor(line.u, 6))} ${line.unit}: ${percent(line.share)} of u².`,
    },
    { title: `Distribution: ${line.distribution}`, words: `Degrees of freedom: ${freedom(line.degreesOfFreedom)}.` },
    { title: "Where the figure stands", words: line.source },
  ],
  lines: line.origin,
});

export const decisionOrigin = (point: MeasuredPoint, job: Job): Origin | null => {
  const { conformity } = point;
  if (conformity === null) return null;
  const { tolerance, acceptance, decision } = conformity;
  return {
    title: `Decision at ${nominal(point.nominal)} °C`,
    value: verdictWord(decision),
    steps: [
      { title: "The rule, agreed before measuring", words: ruleWords(job.procedure.decision) },
      {
        title: `Tolerance ${limitsText(tolerance)}`,
        words:
          acceptance === null
            ? "U leaves nothing of it inside the guard band: no verdict can be given."
            : `Accepted within ${limitsText(acceptance)}.`,
      },
      {
        title: `Error ${typesetError(point.reported.error)} K ± ${point.reported.U} K`,
        words: `Probability that the true error is inside the tolerance: ${chance(conformity.conformanceProbability)}.${conformity.specificRisk === null ? "" : ` Risk that this decision is wrong: ${chance(conformity.specificRisk)}.`}`,
      },
    ],
    lines: point.error.origin,
  };
};
