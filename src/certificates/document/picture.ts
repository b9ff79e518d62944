import type { DecisionRule, Item, ItemResult, MeasuredPoint, PassResult } from "#calibration";
import type { Picture, PictureLimit, PictureMark } from "./model.ts";
import { setMinus } from "./typeset.ts";

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

const altText = (item: Item, passes: readonly PassResult[]): string => {
  const lines = passes.map((pass) => {
    const points = measuredIn(pass).map(
      (point) =>
        `${setMinus(point.reported.error)} K with U = ${point.reported.U} K at ${setMinus(String(point.nominal))} °C`,
    );
    return `${pass.pass === "as-found" ? "As found" : "As left"}: ${points.join("; ")}.`;
  });
  return `Errors of ${item.tag} over temperature, with expanded uncertainty, against the tolerance. ${lines.join(" ")}`;
};

/** The picture of an item's errors; null where nothing was measured. */
export const pictureOf = (item: Item, result: ItemResult, rule: DecisionRule): Picture | null => {
  const passes = result.passes.filter((pass) => measuredIn(pass).length > 0);
  const last = passes.at(-1);
  if (last === undefined) return null;
  const limits = limitsOf(last);
  const guarded = rule.kind !== "simple" && limits.length > 0;
  const has = (name: "as-found" | "as-left"): boolean => passes.some((pass) => pass.pass === name);
  const both = passes.length > 1;
  return {
    heading: "Errors and their uncertainty",
    alt: altText(item, passes),
    caption: [
      "Bars show the expanded uncertainty U; where it is smaller than the mark they lie behind it.",
      limits.length > 0
        ? "Limits are joined by straight lines between the points."
        : "No tolerance applies at these points.",
      guarded && both ? "The guard band drawn is that of the results as left." : "",
    ]
      .filter((sentence) => sentence !== "")
      .join(" "),
    xLabel: "Temperature (ITS-90) / °C",
    yLabel: "Error of indication / K",
    marks: passes.flatMap(marksOf),
    limits,
    guarded,
    legend: {
      asFound: has("as-found") ? "As found" : null,
      asLeft: has("as-left") ? "As left" : null,
      tolerance: limits.length > 0 ? (guarded ? "Within acceptance limits" : "Within tolerance") : null,
      guard: guarded ? "Guard band" : null,
    },
  };
};
