import type { DecisionRule, Item, ItemResult, MeasuredPoint, PassResult } from "#calibration";
import type { Picture, PictureLimit, PictureMark } from "./model.ts";
import { decimal } from "./typeset.ts";
import type { Writing } from "./writing.ts";

const measuredIn = (pass: PassResult): readonly MeasuredPoint[] =>
  pass.points.filter((point): point is MeasuredPoint => point.status === "measured");

const marksOf = (pass: PassResult): readonly PictureMark[] =>
  measuredIn(pass).map((point) => ({
    pass: pass.pass,
    temperature: point.nominal,
    error: point.error.value,
    U: point.budget.U,
    decision: point.conformity?.decision ?? "none",
  }));

/** Limits of one pass in rising order of temperature; a temperature visited twice keeps its first limits. */
const limitsOf = (pass: PassResult): readonly PictureLimit[] => {
  const seen = new Map<number, PictureLimit>();
  for (const point of measuredIn(pass)) {
    if (point.conformity === null || seen.has(point.nominal)) continue;
    const { tolerance, acceptance } = point.conformity;
    seen.set(point.nominal, { temperature: point.nominal, lower: tolerance.lower, upper: tolerance.upper, acceptance });
  }
  return [...seen.values()].toSorted((a, b) => a.temperature - b.temperature);
};

const altText = (item: Item, passes: readonly PassResult[], { words, set }: Writing): string => {
  const { picture: said } = words.item;
  const lines = passes.map((pass) => {
    const points = measuredIn(pass).map((point) =>
      said.altPoint(
        set.number(`${point.reported.error} K`),
        set.number(`${point.reported.U} K`),
        set.number(`${decimal(point.nominal)} °C`),
      ),
    );
    return `${words.paper.passNames[pass.pass]}: ${points.join("; ")}.`;
  });
  return said.alt(item.tag, lines.join(" "));
};

/** The picture of an item's errors; null where nothing was measured. */
export const pictureOf = (item: Item, result: ItemResult, rule: DecisionRule, writing: Writing): Picture | null => {
  const { words } = writing;
  const { picture: said } = words.item;
  const { passNames } = words.paper;
  const passes = result.passes.filter((pass) => measuredIn(pass).length > 0);
  const last = passes.at(-1);
  if (last === undefined) return null;
  const limits = limitsOf(last);
  const guarded = rule.kind !== "simple" && limits.length > 0;
  const has = (name: "as-found" | "as-left"): boolean => passes.some((pass) => pass.pass === name);
  return {
    heading: said.heading,
    alt: altText(item, passes, writing),
    caption: [
      said.bars,
      limits.length > 0 ? said.joinedLimits : said.noTolerance,
      guarded && passes.length > 1 ? said.guardOfLeft : "",
    ]
      .filter((sentence) => sentence !== "")
      .join(" "),
    sign: writing.set.sign,
    xLabel: said.x,
    yLabel: said.y,
    marks: passes.flatMap(marksOf),
    limits,
    guarded,
    legend: {
      asFound: has("as-found") ? passNames["as-found"] : null,
      asLeft: has("as-left") ? passNames["as-left"] : null,
      tolerance: limits.length > 0 ? (guarded ? said.withinAcceptance : said.withinTolerance) : null,
      guard: guarded ? said.guard : null,
    },
  };
};
