import type { Figure, Item, Job, MeasuredPoint, Pass, ResultBudgetLine } from "#contract";
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
import type { Derived } from "../origin/derived.ts";
import type { Origin, OriginStep } from "../origin/origin-drawer.tsx";
import { limitsText, ruleWords, sensorWords } from "../plan/words.ts";

/** Which pass a point is of: with it the station can derive its figures. */
export interface PointPlace {
  readonly point: MeasuredPoint;
  readonly pass: Pass;
  readonly item: Item;
}

const derivedOf = (figure: Derived["figure"], { point, pass, item }: PointPlace): { readonly derived: Derived } => ({
  derived: { figure, item: item.id, pass, point: point.point },
});

const windowWords = (point: MeasuredPoint): string =>
  `Mean of ${point.readings} readings from ${Math.round(point.window.from)} s to ${Math.round(point.window.to)} s on the run's clock; as they follow each other they count as ${plain(point.effectiveReadings, 1)} independent ones.`;

const asRead = (figure: Figure): OriginStep => ({
  title: `${signal(figure.value)} ${figure.unit}, mean as read`,
  words: `From ${figure.origin.length} lines of the log.`,
});

export const referenceOrigin = (place: PointPlace, job: Job): Origin => {
  const { point } = place;
  const { reference } = job.kit;
  return {
    ...derivedOf("reference", place),
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

export const indicationOrigin = ({ point, pass, item }: PointPlace): Origin => ({
  ...derivedOf("indication", { point, pass, item }),
  title: `Indication of ${item.tag} at ${nominal(point.nominal)} °C`,
  value: `${typeset(point.reported.indication)} °C`,
  steps: [
    { title: "Mean over the window", words: windowWords(point) },
    { title: `Conversion: ${sensorWords(item.sensor)}`, words: `${item.description}, serial ${item.serial}.` },
    asRead(point.signal),
  ],
  lines: point.indication.origin,
});

export const errorOrigin = ({ point, pass, item }: PointPlace): Origin => ({
  ...derivedOf("error", { point, pass, item }),
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

export const uncertaintyOrigin = (place: PointPlace): Origin => {
  const { point } = place;
  const { budget } = point;
  const largest = budget.lines.toSorted((a, b) => b.share - a.share).slice(0, 3);
  return {
    ...derivedOf("uncertainty", place),
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

export const decisionOrigin = (place: PointPlace, job: Job): Origin | null => {
  const { point } = place;
  const { conformity } = point;
  if (conformity === null) return null;
  const { tolerance, acceptance, decision } = conformity;
  return {
    ...derivedOf("decision", place),
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
        words: `Probability that the true error is inside the tolerance: ${chance(conformity.conformanceProbability)}.${conformity.specificRisk === null ? "" : ` Specific risk, that this decision about this very item is wrong: ${chance(conformity.specificRisk)}.`}`,
      },
    ],
    lines: point.error.origin,
  };
};

/** The global risks of the rule at a point: of the rule and its items, never of the item that was measured. */
export const globalRiskOrigin = (place: PointPlace, job: Job): Origin | null => {
  const { point, item } = place;
  const { globalRisk } = point;
  if (globalRisk === undefined) return null;
  const title = `Global risk of the rule at ${nominal(point.nominal)} °C`;
  if (globalRisk.status === "not-stated")
    return { title, value: "not stated", steps: [{ title: "Why not", words: globalRisk.reason }], lines: [] };
  const { consumer, producer, prior } = globalRisk;
  const source = (job.history ?? []).find((history) => history.item === item.id && history.of === prior.of)?.source;
  return {
    title,
    value: `${chance(consumer)} and ${chance(producer)}`,
    steps: [
      {
        title: `${chance(consumer)} accepted and not conforming, ${chance(producer)} rejected and conforming`,
        words:
          "Consumer's and producer's risk, before anything is measured, of items with this history under this rule (JCGM 106, 9.5). Of the item that was measured the specific risk speaks.",
      },
      {
        title: `Prior: mean ${signed(prior.mean, placesFor(prior.sd, 4))} K, standard deviation ${plain(prior.sd, placesFor(prior.sd, 4))} K`,
        words: `From ${prior.observations} errors ${prior.of === "item" ? "of this item" : "of items of its class"}, ${prior.from} to ${prior.to}. As found they scatter by ${plain(prior.observed, placesFor(prior.observed, 4))} K; the part of their own measurements is taken out.${source === undefined ? "" : ` Source: ${source}.`}`,
      },
    ],
    lines: globalRisk.origin,
  };
};
