import type { Item, Job, MeasuredPoint } from "#contract";
import parts from "../face/parts.module.css";
import { Verdict } from "../face/shapes.tsx";
import { chance, nominal, typeset, typesetError } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import type { Origin } from "../origin/origin-drawer.tsx";
import { limitsText } from "../plan/words.ts";
import { decisionOrigin, errorOrigin, indicationOrigin, referenceOrigin, uncertaintyOrigin } from "./point-origin.ts";
import css from "./judge-stage.module.css";

/** The chosen stop in figures. */
export const StopFigures = ({
  point,
  pass,
  job,
  item,
  open,
}: {
  point: MeasuredPoint;
  pass: "as-found" | "as-left";
  job: Job;
  item: Item;
  open: (origin: Origin | null) => void;
}) => {
  const { reported, conformity } = point;
  const rows: readonly (readonly [string, string, Origin | null])[] = [
    ["reference", `${typeset(reported.reference)} °C`, referenceOrigin(point, job)],
    ["indication", `${typeset(reported.indication)} °C`, indicationOrigin(point, item)],
    ["expanded uncertainty U", `${reported.U} K, k = ${reported.k}`, uncertaintyOrigin(point)],
    ...(conformity === null
      ? []
      : ([
          ["tolerance", limitsText(conformity.tolerance), decisionOrigin(point, job)],
          [
            "accepted within",
            conformity.acceptance === null ? "nothing left" : limitsText(conformity.acceptance),
            decisionOrigin(point, job),
          ],
          ["inside tolerance, probability", chance(conformity.conformanceProbability), decisionOrigin(point, job)],
          [
            "risk of a wrong decision",
            conformity.specificRisk === null ? "–" : chance(conformity.specificRisk),
            decisionOrigin(point, job),
          ],
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
          onClick={() => open(errorOrigin(point, item))}
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
