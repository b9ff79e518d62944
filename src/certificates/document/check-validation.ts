import type { PointValidation, ValidatedPoint } from "#calibration";
import type { CheckInput } from "./check-input.ts";
import { english } from "./words/english.ts";
import type { Finding } from "./model.ts";
import { decimal, withUnit } from "./typeset.ts";

const { passNames } = english.paper;

const clause = "JCGM 101, 8";

type Named = (validation: PointValidation) => string;

const places = (points: readonly PointValidation[], nameOf: Named): string => points.map(nameOf).join("; ");

const has = (points: readonly PointValidation[]): string =>
  points.length === 1 ? "One point" : `${points.length} points`;

/** Points that could not be validated: a sentence for each reason. */
const unvalidatedWarnings = (validation: readonly PointValidation[], nameOf: Named): Finding[] => {
  const points = validation.filter((point) => point.status === "not-validated");
  return [...new Set(points.map(({ reason }) => reason))].map((reason) => {
    const own = points.filter((point) => point.reason === reason);
    return {
      clause,
      message: `${has(own)} could not be validated by Monte Carlo (${places(own, nameOf)}): ${reason}`,
    };
  });
};

/**
 * What the validation of U by Monte Carlo (JCGM 101:2008, clause 8) gives the person who authorises to think of. An interval that
 * is too narrow is said point by point, with both intervals; what errs on the safe side is said once for all its points,
 * so that the other is not lost among them.
 */
export const validationWarnings = ({ result, validation = [] }: CheckInput): readonly Finding[] => {
  const tagOf = new Map(result.items.map(({ item, tag }) => [item, tag]));
  const nameOf: Named = ({ item, pass, nominal }) =>
    `${tagOf.get(item) ?? item}, ${passNames[pass].toLowerCase()}, ${withUnit(decimal(nominal), "°C")}`;
  const made = validation.filter((point): point is ValidatedPoint => point.status === "validated");
  const narrow = made.filter(({ side }) => side === "too-narrow");
  const wide = made.filter(({ side }) => side === "too-wide");
  const open = made.filter(({ check }) => check.agreement === "open");
  const most = Math.max(0, ...wide.map(({ propagation: { U }, check }) => Math.max(check.dLow, check.dHigh) / U));
  return [
    ...narrow.map((point) => ({ clause, message: `${nameOf(point)}: ${point.words}` })),
    ...(wide.length === 0
      ? []
      : [
          {
            clause,
            message: `Propagation and Monte Carlo disagree on the safe side at ${wide.length === 1 ? "one point" : `${wide.length} points`} (${places(wide, nameOf)}): the stated interval is wider than Monte Carlo finds it, by ${(100 * most).toFixed(most < 0.1 ? 1 : 0)} % of U at most. Nothing need be done; the validation of each point holds both intervals.`,
          },
        ]),
    ...(open.length === 0
      ? []
      : [
          {
            clause,
            message: `${has(open)} could not be decided by Monte Carlo (${places(open, nameOf)}): the difference is as large as what the clause allows.`,
          },
        ]),
    ...unvalidatedWarnings(validation, nameOf),
  ];
};
