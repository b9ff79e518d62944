import type { GlobalRiskStatement, Job, MeasuredPoint, NoGlobalRisk, Result } from "#calibration";
import type { CheckInput } from "./check-input.ts";
import type { Finding, Statement } from "./model.ts";
import { openedRun } from "./opened-run.ts";
import { decimal, significant } from "./typeset.ts";
import type { Writing } from "./writing.ts";

type Stated = MeasuredPoint & { readonly globalRisk: GlobalRiskStatement | NoGlobalRisk };

const isStated = (point: Result["items"][number]["passes"][number]["points"][number]): point is Stated =>
  point.status === "measured" && "globalRisk" in point && point.globalRisk !== undefined;

const pointWords = ({ nominal, globalRisk }: Stated, { words, set }: Writing): string => {
  const at = set.unit(decimal(nominal), "°C");
  const said = words.statements.globalRisk;
  return globalRisk.status === "not-stated"
    ? said.notStated(at)
    : said.stated(at, set.percent(globalRisk.consumer), set.percent(globalRisk.producer));
};

const priorWords = (points: readonly Stated[], { words, set }: Writing): string => {
  const priors = points.flatMap(({ globalRisk }) => (globalRisk.status === "stated" ? [globalRisk.prior] : []));
  const [first] = priors;
  if (first === undefined) return "";
  const said = words.statements.globalRisk;
  const from = priors.map((prior) => prior.from).sort()[0]!;
  const to = priors
    .map((prior) => prior.to)
    .sort()
    .at(-1)!;
  const sds = priors.map(({ sd }) => sd);
  const [least, most] = [significant(Math.min(...sds), 2), significant(Math.max(...sds), 2)];
  const deviation =
    least === most ? set.unit(least, "K") : said.spread(set.number(`${least}\u00a0K`), set.unit(most, "K"));
  const { day } = words.paper;
  return said.prior(first.of === "item" ? "item" : "class", day(from), day(to), deviation);
};

/** Global risks where the customer asked for them: one statement, one clause of it for each pass of each item. */
export const globalRiskStatements = (job: Job, result: Result, writing: Writing): readonly Statement[] => {
  if (job.procedure.stateGlobalRisk !== true) return [];
  const { words } = writing;
  const said = words.statements.globalRisk;
  const parts = result.items.flatMap((item) =>
    item.passes.flatMap(({ pass, points }) => {
      const stated = points.filter(isStated);
      if (stated.length === 0) return [];
      const list = stated.map((point) => pointWords(point, writing)).join("; ");
      return [said.part(item.tag, words.paper.passNames[pass], priorWords(stated, writing), list)];
    }),
  );
  if (parts.length === 0) return [];
  return [
    {
      id: "global-risk",
      clause: "JCGM 106, 9.5",
      heading: words.statements.headings["global-risk"],
      text: said.text(parts.join(" ")),
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
