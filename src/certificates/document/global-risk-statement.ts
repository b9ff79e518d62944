import type { GlobalRiskStatement, Job, MeasuredPoint, NoGlobalRisk, Result } from "#calibration";
import type { CheckInput } from "./check-input.ts";
import { passNames } from "./english.ts";
import type { Finding, Statement } from "./model.ts";
import { openedRun } from "./opened-run.ts";
import { decimal, percent, setMinus, significant, withUnit } from "./typeset.ts";

type Stated = MeasuredPoint & { readonly globalRisk: GlobalRiskStatement | NoGlobalRisk };

const isStated = (point: Result["items"][number]["passes"][number]["points"][number]): point is Stated =>
  point.status === "measured" && "globalRisk" in point && point.globalRisk !== undefined;

const pointWords = ({ nominal, globalRisk }: Stated): string => {
  const at = withUnit(setMinus(decimal(nominal)), "°C");
  if (globalRisk.status === "not-stated") return `${at} not stated`;
  return `${at} ${percent(globalRisk.consumer)} and ${percent(globalRisk.producer)}`;
};

const priorWords = (points: readonly Stated[]): string => {
  const priors = points.flatMap(({ globalRisk }) => (globalRisk.status === "stated" ? [globalRisk.prior] : []));
  const [first] = priors;
  if (first === undefined) return "";
  const from = priors.map((prior) => prior.from).sort()[0]!;
  const to = priors
    .map((prior) => prior.to)
    .sort()
    .at(-1)!;
  const sds = priors.map(({ sd }) => sd);
  const [least, most] = [significant(Math.min(...sds), 2), significant(Math.max(...sds), 2)];
  const whose = first.of === "item" ? "the item's own earlier errors" : "earlier errors of items of its class";
  return ` (prior: ${whose} from ${from} to ${to}, standard deviation ${least === most ? withUnit(least, "K") : `${least}\u00a0K to ${withUnit(most, "K")}`} without the part of their measurements)`;
};

/** Global risks where the customer asked for them: one statement, one clause of it for each pass of each item. */
export const globalRiskStatements = (job: Job, result: Result): readonly Statement[] => {
  if (job.procedure.stateGlobalRisk !== true) return [];
  const parts = result.items.flatMap((item) =>
    item.passes.flatMap(({ pass, points }) => {
      const stated = points.filter(isStated);
      if (stated.length === 0) return [];
      return [
        `${item.tag} ${passNames[pass].toLowerCase()}${priorWords(stated)}, consumer's and producer's risk: ${stated.map(pointWords).join("; ")}.`,
      ];
    }),
  );
  if (parts.length === 0) return [];
  return [
    {
      id: "global-risk",
      clause: "JCGM 106, 9.5",
      heading: "Global risk",
      text: `For each point the probability, before anything is measured, that an item with this history is accepted though it does not conform (consumer's risk), and that it is rejected though it conforms (producer's risk). It judges the rule and not the item that was measured; of that item the tables speak. ${parts.join(" ")}`,
    },
  ];
};

/** Asked for, and not to be had at some point: the certificate says "not stated", and this why. */
export const globalRiskWarnings = ({ log, result }: CheckInput): readonly Finding[] => {
  const { job } = openedRun(log);
  if (job.procedure.stateGlobalRisk !== true) return [];
  const clause = "JCGM 106, 9.5";
  const points = result.items.flatMap(({ tag, passes }) =>
    passes.flatMap((pass) => pass.points.filter(isStated).map((point) => ({ tag, point }))),
  );
  if (points.length === 0) {
    const message =
      "The customer asked for the global risks, but the job holds no history from which they could follow. Give history in the job, or tell the customer.";
    return [{ clause, message }];
  }
  const reasons = points.flatMap(({ tag, point: { globalRisk } }) =>
    globalRisk.status === "not-stated" ? [`${tag}: no global risk is stated. ${globalRisk.reason}`] : [],
  );
  return [...new Set(reasons)].map((message) => ({ clause, message }));
};
