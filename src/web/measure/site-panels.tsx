import type { RunView } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, placesFor, plain, signed } from "../figures/digits.ts";
import css from "./site-actions.module.css";

const steps: Record<NonNullable<RunView["check"]>["step"], string> = {
  placing: "The reference is on its way there.",
  settling: "It settles; nothing is read before it is steady.",
  reading: "It is steady and being read.",
  typing: "It is steady. Type what the check thermometer shows.",
};

/** The closing check: how far the reference is from what it should read, against the limit. */
export const CheckPanel = ({ check }: { check: NonNullable<RunView["check"]> }) => {
  const { kind, step, temperature, limit, difference, bound } = check;
  const place = difference === null ? null : Math.min(1, Math.max(-1, difference / limit / 1.5));
  return (
    <section className={css.panel} aria-label="Closing check">
      <h2>
        Closing check of the reference,{" "}
        {kind === "ice-point" ? "ice point" : `beside the check thermometer at ${nominal(temperature)} °C`}
      </h2>
      <p className={css.difference}>
        {difference === null ? "–" : signed(difference, placesFor(limit / 5))} K{" "}
        <span className={parts.note}>limit ±{nominal(limit)} K</span>
      </p>
      <div className={css.track} aria-hidden="true">
        {place !== null && <span style={{ left: `${50 + 50 * place}%` }} />}
      </div>
      <p>
        {steps[step]}
        {step === "settling" && bound !== null && ` Still missing: ${plain(bound, placesFor(bound))} K at most.`}
      </p>
    </section>
  );
};

/** What an adjustment is forecast to do at every point, before anybody turns a screw. */
export const AdjustmentPanel = ({
  advice,
  tags,
}: {
  advice: NonNullable<RunView["adjustment"]>;
  tags: ReadonlyMap<string, string>;
}) => (
  <section className={css.panel} aria-label="Adjustment">
    {advice.map(({ item, zero, span, coefficients, forecast, reason }) => (
      <div key={item} className={css.panel}>
        <h2>Adjustment of {tags.get(item) ?? item}</h2>
        <p>{reason}</p>
        {coefficients === undefined ? (
          <p>
            <strong>
              Zero {signed(zero, 3)} K, span {signed(span, 3)} K
            </strong>
          </p>
        ) : (
          <ul>
            {coefficients.values.map(({ name, value, unit }) => (
              <li key={name}>
                <strong>{name}</strong> = {value} {unit}
              </li>
            ))}
          </ul>
        )}
        <div className={css.scroll}>
          <table className={css.forecast}>
            <caption className="unseen">Forecast at every point</caption>
            <thead>
              <tr>
                <th scope="col">°C</th>
                <th scope="col">as found, K</th>
                <th scope="col">shift, K</th>
                <th scope="col">forecast as left, K</th>
              </tr>
            </thead>
            <tbody>
              {forecast.map((each) => (
                <tr key={each.point}>
                  <th scope="row">{nominal(each.nominal)}</th>
                  <td>{signed(each.asFound, placesFor(each.U))}</td>
                  <td>{signed(each.shift, placesFor(each.U))}</td>
                  <td>
                    {signed(each.asLeft, placesFor(each.U))} ± {plain(each.U, placesFor(each.U))}
                  </td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </div>
    ))}
  </section>
);
