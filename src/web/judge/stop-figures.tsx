import type { Item, Job, MeasuredPoint, PointValidation } from "#contract";
import parts from "../face/parts.module.css";
import { Verdict } from "../face/shapes.tsx";
import { chance, nominal, typeset, typesetError } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import type { Origin } from "../origin/origin-drawer.tsx";
import { limitsText } from "../plan/words.ts";
import {
  decisionOrigin,
  errorOrigin,
  globalRiskOrigin,
  indicationOrigin,
  referenceOrigin,
  uncertaintyOrigin,
} from "./point-origin.ts";
import { validationOrigin, validationWords } from "./validation.tsx";
import css from "./judge-stage.module.css";

/** The chosen stop in figures. */
export const StopFigures = ({
  point,
  pass,
  job,
  item,
  validation,
  open,
}: {
  point: MeasuredPoint;
  pass: "as-found" | "as-left";
  job: Job;
  item: Item;
  validation: PointValidation | undefined;
  open: (origin: Origin | null) => void;
}) => {
  const { reported, conformity, globalRisk } = point;
  const place = { point, pass, item };
  const why = decisionOrigin(place, job);
  const global = globalRiskOrigin(place, job);
  const rows: readonly (readonly [string, string, Origin | null])[] = [
    ["reference", `${typeset(reported.reference)} °C`, referenceOrigin(place, job)],
    ["indication", `${typeset(reported.indication)} °C`, indicationOrigin(place)],
    ["expanded uncertainty U", `${reported.U} K, k = ${reported.k}`, uncertaintyOrigin(place)],
    ...(validation === undefined
      ? []
      : ([["Monte Carlo", validationWords(validation), validationOrigin(point, validation)]] as const)),
    ...(conformity === null
      ? []
      : ([
          ["tolerance", limitsText(conformity.tolerance), why],
          ["accepted within", conformity.acceptance === null ? "nothing left" : limitsText(conformity.acceptance), why],
          ["inside tolerance, probability", chance(conformity.conformanceProbability), why],
          [
            "specific risk, of this very item",
            conformity.specificRisk === null ? "–" : chance(conformity.specificRisk),
            why,
          ],
        ] as const)),
    ...(globalRisk === undefined
      ? []
      : globalRisk.status === "not-stated"
        ? ([["global risk of the rule", "not stated", global]] as const)
        : ([
            ["global risk, consumer's", chance(globalRisk.consumer), global],
            ["global risk, producer's", chance(globalRisk.producer), global],
          ] as const)),
  ];
  return (
    <section className={css.stop} aria-label="The chosen stop">
      <h2>
        {nominal(point.nominal)} °C, {passWords[pass]}
      </h2>
      <p className={css.big}>
        <button
          type="button"
          className={parts.open}
          onClick={() => open(errorOrigin(place))}
          aria-label={`error ${typesetError(reported.error)} K: where it comes from`}
        >
          {typesetError(reported.error)} K
        </button>
        <span style={{ fontSize: "var(--size-lead)" }}>
          <Verdict decision={conformity?.decision ?? null} />
        </span>
      </p>
      <dl>
        {rows.map(([name, text, origin]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>
              <button
                type="button"
                className={parts.open}
                onClick={() => open(origin)}
                aria-label={`${name} ${text}: where it comes from`}
              >
                {text}
              </button>
            </dd>
          </div>
        ))}
      </dl>
      {point.conformityNote !== null && <p className={parts.note}>{point.conformityNote}</p>}
    </section>
  );
};
