import type { Item, Plan, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { chance, nominal, percent, placesFor, plain } from "../figures/digits.ts";
import { minutesText } from "./minutes.ts";
import { entryWords, limitsText, sensorWords, toleranceWords } from "./words.ts";
import css from "./plan-stage.module.css";

type PlannedItem = Plan["items"][number];
type PlanPoint = PlannedItem["points"][number];

const uText = (value: number): string => `${plain(value, placesFor(value))} K`;

const Tolerance = ({ point: { tolerance, toleranceNote, acceptance, proves } }: { point: PlanPoint }) => {
  if (tolerance === null) return <>{toleranceNote ?? "none"}</>;
  return (
    <>
      {limitsText(tolerance)}
      {acceptance !== null && (proves || acceptance.upper < tolerance.upper) ? (
        <span className={css.under}>accept {limitsText(acceptance)}</span>
      ) : (
        acceptance === null && (
          <span className={`${css.under} ${css.nothing}`}>
            <TroubleShape /> accepts nothing
          </span>
        )
      )}
    </>
  );
};

const Point = ({ point, chosen }: { point: PlanPoint; chosen: boolean }) => {
  const { globalRisk, limiting, time } = point;
  return (
    <tr className={chosen ? css.chosen : undefined}>
      <th scope="row">
        <strong>{nominal(point.temperature)} °C</strong>
      </th>
      <td className={parts.figure}>
        <Tolerance point={point} />
      </td>
      <td className={parts.figure}>{point.expectedU === null ? "not known" : uText(point.expectedU)}</td>
      <td className={parts.figure}>{point.ratio === null ? "–" : `${plain(point.ratio, 1)} : 1`}</td>
      <td className={parts.figure}>{globalRisk === null ? "–" : chance(globalRisk.consumer)}</td>
      <td className={parts.figure}>{globalRisk === null ? "–" : chance(globalRisk.producer)}</td>
      <td className={`${parts.figure} ${css.brief}`}>
        {minutesText(time.seconds)}
        <span className={css.under}>
          {minutesText(time.shortest, "")} to {minutesText(time.longest)}
        </span>
      </td>
      <td className={parts.after}>
        {limiting === null ? (
          "–"
        ) : (
          <>
            {entryWords[limiting.entry]} {limiting.entry === "item" ? "itself" : limiting.id}, {percent(limiting.share)}
            <span className={css.under}>
              {point.dominant
                .slice(0, 2)
                .map(({ name, share }) => `${name} ${percent(share)}`)
                .join("; ")}
            </span>
          </>
        )}
      </td>
    </tr>
  );
};

/** What one item's points can be expected to prove, and what would help most. */
export const ItemPlan = ({ item, plan, chosen }: { item: Item; plan: PlannedItem | null; chosen: Stop | null }) => {
  const points = plan?.points ?? [];
  const worst = points.find(({ point }) => point === plan?.worst);
  const assumption = points.find((point) => point.assumption !== null)?.assumption;
  return (
    <section className={css.item} aria-label={item.tag}>
      <h2>{item.tag}</h2>
      <p className={`${parts.note} ${css.facts}`}>
        {item.description}, {sensorWords(item.sensor)}, serial {item.serial}. Tolerance:{" "}
        {toleranceWords(item.tolerance)}. Never beyond {nominal(item.limits.minimum)} to {nominal(item.limits.maximum)}{" "}
        °C.
      </p>
      <div className={css.wide}>
        <table className={parts.table}>
          <thead>
            <tr>
              <th scope="col">point</th>
              <th scope="col" className={parts.figure}>
                tolerance
              </th>
              <th scope="col" className={parts.figure}>
                expected U
              </th>
              <th scope="col" className={parts.figure}>
                tolerance over U
              </th>
              <th scope="col" className={parts.figure}>
                risk of a wrong pass
              </th>
              <th scope="col" className={parts.figure}>
                risk of a wrong fail
              </th>
              <th scope="col" className={parts.figure}>
                time
              </th>
              <th scope="col" className={parts.after}>
                limited by
              </th>
            </tr>
          </thead>
          <tbody>
            {points.map((point) => (
              <Point key={point.point} point={point} chosen={chosen?.point === point.point} />
            ))}
          </tbody>
        </table>
      </div>
      {plan !== null && plan.change !== null && worst !== undefined && (
        <p className={css.helps}>
          <strong>What helps most at {nominal(worst.temperature)} °C: </strong>
          {plan.change.words}. It brings U from {uText(plan.change.now)} to {uText(plan.change.improved)}.
        </p>
      )}
      {assumption != null && <p className={parts.note}>Risks: {assumption.words}.</p>}
    </section>
  );
};
