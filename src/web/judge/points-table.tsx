import { Fragment } from "react";
import type { Item, ItemResult, Job, MeasuredPoint, Pass, PointResult, ResultAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, Verdict } from "../face/shapes.tsx";
import { nominal, typeset, typesetError } from "../figures/digits.ts";
import { passWords, stopKey } from "../job/stops.ts";
import type { Origin } from "../origin/origin-drawer.tsx";
import { limitsText } from "../plan/words.ts";
import { decisionOrigin, errorOrigin, indicationOrigin, referenceOrigin, uncertaintyOrigin } from "./point-origin.ts";
import { isDisputed, validationOf, validationOrigin, ValidationSummary, validationWords } from "./validation.tsx";
import css from "./judge-stage.module.css";

interface Opening {
  readonly job: Job;
  readonly item: Item;
  readonly open: (origin: Origin | null) => void;
  readonly validation: ResultAnswer["validation"];
}

const Open = ({
  text,
  origin,
  open,
  what,
}: {
  text: string;
  origin: Origin | null;
  open: Opening["open"];
  what: string;
}) => (
  <button
    type="button"
    className={parts.open}
    onClick={() => open(origin)}
    aria-label={`${what} ${text}: where it comes from`}
  >
    {text}
  </button>
);

const Measured = ({
  point,
  pass,
  opening: { job, item, open, validation },
}: {
  point: MeasuredPoint;
  pass: Pass;
  opening: Opening;
}) => {
  const place = { point, pass, item };
  const validated = validationOf(validation, { item: item.id, pass, point: point.point });
  return (
    <>
      <td className={parts.figure}>
        <Open
          what="reference"
          text={typeset(point.reported.reference)}
          origin={referenceOrigin(place, job)}
          open={open}
        />
      </td>
      <td className={parts.figure}>
        <Open
          what="indication"
          text={typeset(point.reported.indication)}
          origin={indicationOrigin(place)}
          open={open}
        />
      </td>
      <td className={parts.figure}>
        <Open what="error" text={typesetError(point.reported.error)} origin={errorOrigin(place)} open={open} />
      </td>
      <td className={parts.figure}>
        {validated !== undefined && isDisputed(validated) && (
          <button
            type="button"
            className={parts.open}
            onClick={() => open(validationOrigin(point, validated))}
            aria-label={`Monte Carlo disagrees at ${nominal(point.nominal)} °C: ${validationWords(validated)}`}
            title="Monte Carlo disagrees"
          >
            <CautionShape />
          </button>
        )}
        <Open what="uncertainty" text={point.reported.U} origin={uncertaintyOrigin(place)} open={open} />
      </td>
      <td className={parts.figure}>{point.reported.k}</td>
      <td className={parts.figure}>
        {point.conformity === null ? (point.conformityNote ?? "none") : limitsText(point.conformity.tolerance)}
      </td>
      <td className={parts.after}>
        {point.conformity === null ? (
          <Verdict decision={null} />
        ) : (
          <button
            type="button"
            className={parts.open}
            style={{ textDecoration: "none" }}
            onClick={() => open(decisionOrigin(place, job))}
            title="why"
          >
            <Verdict decision={point.conformity.decision} />
          </button>
        )}
      </td>
    </>
  );
};

/** From which side a point was reached, where its temperature was met twice. */
const Approach = ({ towards }: { towards: "rising" | "falling" }) => (
  <>
    <span aria-hidden="true">{towards === "rising" ? " ↑" : " ↓"}</span>
    <span className="unseen">, {towards}</span>
  </>
);

const Row = ({
  point,
  pass,
  chosen,
  choose,
  opening,
}: {
  point: PointResult;
  pass: "as-found" | "as-left";
  chosen: string | null;
  choose: (stop: string) => void;
  opening: Opening;
}) => {
  const key = stopKey({ pass, point: point.point });
  return (
    <tr className={chosen === key ? css.chosen : undefined}>
      <th scope="row">
        <button type="button" className={parts.open} onClick={() => choose(key)} aria-pressed={chosen === key}>
          <strong>{nominal(point.nominal)}</strong>
          {point.status === "measured" && point.approach !== undefined && <Approach towards={point.approach} />}
        </button>
      </th>
      {point.status === "measured" ? (
        <Measured point={point} pass={pass} opening={opening} />
      ) : (
        <td colSpan={7}>
          {point.status.replace("-", " ")}: {point.reason}
        </td>
      )}
    </tr>
  );
};

/** Every point of an item in figures, as the certificate will say them; each opens its origin. */
export const PointsTable = ({
  result,
  chosen,
  choose,
  opening,
}: {
  result: ItemResult;
  chosen: string | null;
  choose: (stop: string) => void;
  opening: Opening;
}) => (
  <section className={parts.section} aria-label="Points">
    <h2>Every point, as the certificate says it</h2>
    <div className={css.scroll}>
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">point, °C</th>
            {["reference, °C", "indication, °C", "error, K", "U, K", "k", "tolerance"].map((head) => (
              <th key={head} scope="col" className={parts.figure}>
                {head}
              </th>
            ))}
            <th scope="col" className={parts.after}>
              decision
            </th>
          </tr>
        </thead>
        <tbody>
          {result.passes.map(({ pass, points }) => (
            <Fragment key={pass}>
              {result.passes.length > 1 && (
                <tr className={css.passRow}>
                  <th scope="rowgroup" colSpan={8}>
                    {passWords[pass]}
                  </th>
                </tr>
              )}
              {points.map((point) => (
                <Row key={point.point} point={point} pass={pass} chosen={chosen} choose={choose} opening={opening} />
              ))}
            </Fragment>
          ))}
        </tbody>
      </table>
    </div>
    <ValidationSummary item={result.item} validation={opening.validation} />
  </section>
);
