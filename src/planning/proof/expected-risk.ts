import { normalCdf } from "#numerics";
import type { MeasuredPoint } from "#calibration";
import { conformanceProbability, globalRisk, truncatedDegreesOfFreedom, type Limits, type Prior } from "#uncertainty";

/** What is taken for granted of the items before they are measured. */
export interface Assumption {
  readonly of: "item" | "class";
  readonly mean: number;
  readonly sd: number;
  readonly words: string;
}

/** What the decision rule can be expected to do at a point. Probabilities, 0 to 1. */
export interface ExpectedRisk {
  readonly assumption: Assumption;
  /** That an item is accepted. */
  readonly pass: number;
  /** That an item which is accepted conforms; null where nothing can be accepted. */
  readonly conformance: number | null;
  /** Risk that an accepted item does not conform, in the worst place: at the acceptance limit; null where there is none. */
  readonly specificRisk: number | null;
  /** Of all items: accepted and not conforming (consumer), rejected and conforming (producer); null where all stay undecided. */
  readonly globalRisk: { readonly consumer: number; readonly producer: number } | null;
}

/** Share of a class's items that are taken to be within its tolerance where no history is known (common practice, no source). */
const reliability = 0.95;
const twoSided = 1.959963984540054;

/** What is taken for granted: the history that the job gives, else what a tolerance class promises, taken loosely (rule P3). */
export const assumptionOf = ({ conformity, globalRisk: known }: MeasuredPoint): Assumption | null => {
  if (conformity === null) return null;
  if (known?.status === "stated") {
    const { of, mean, sd, observations } = known.prior;
    return { of, mean, sd, words: `from ${observations} errors found earlier on this ${of}` };
  }
  const { lower, upper } = conformity.tolerance;
  return {
    of: "class",
    mean: (lower + upper) / 2,
    sd: (upper - lower) / 2 / twoSided,
    words: `no history: ${100 * reliability} of 100 such items are taken to be within the tolerance, normally distributed (assumption)`,
  };
};

const atLimit = (value: number, limits: Limits, { u, degreesOfFreedom }: MeasuredPoint["budget"]): number => {
  const conforms = conformanceProbability(
    value,
    u,
    limits,
    truncatedDegreesOfFreedom(degreesOfFreedom ?? Number.POSITIVE_INFINITY),
  );
  return conforms.ok ? 1 - conforms.value : 1;
};

/** What the rule can be expected to do at a foreseen point; null where there is no statement of conformity (rules P2 and P3). */
export const expectedRisk = (point: MeasuredPoint): ExpectedRisk | null => {
  const assumption = assumptionOf(point);
  const { conformity, budget } = point;
  if (assumption === null || conformity === null) return null;
  const prior: Prior = { mean: assumption.mean, sd: assumption.sd };
  const { tolerance, acceptance } = conformity;
  if (acceptance === null) return { assumption, pass: 0, conformance: null, specificRisk: null, globalRisk: null };
  const risk = globalRisk(tolerance, acceptance, budget.u, prior);
  if (!risk.ok) return null;
  const spread = Math.hypot(prior.sd, budget.u);
  const pass =
    normalCdf((acceptance.upper - prior.mean) / spread) - normalCdf((acceptance.lower - prior.mean) / spread);
  return {
    assumption,
    pass,
    conformance: pass > 0 ? Math.min(1, Math.max(0, 1 - risk.value.consumer / pass)) : null,
    specificRisk: Math.max(atLimit(acceptance.lower, tolerance, budget), atLimit(acceptance.upper, tolerance, budget)),
    globalRisk: risk.value,
  };
};
