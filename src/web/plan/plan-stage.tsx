import { Fragment } from "react";
import type { Item, Job, JobDetail, Plan, RunSummary, RunView, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, RoleShape, TroubleShape } from "../face/shapes.tsx";
import { onDay } from "../figures/clock.ts";
import { nominal, percent, placesFor, plain } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import { Begin } from "./begin.tsx";
import { limitsText, ruleWords, sensorWords, toleranceWords } from "./words.ts";
import css from "./plan-stage.module.css";

type PlanPoint = Plan["items"][number]["points"][number];

const Point = ({ point, chosen }: { point: PlanPoint; chosen: boolean }) => (
  <tr className={chosen ? css.chosen : undefined}>
    <th scope="row">
      <strong>{nominal(point.temperature)} °C</strong>
    </th>
    <td className={parts.figure}>
      {point.tolerance === null ? (point.toleranceNote ?? "none") : limitsText(point.tolerance)}
    </td>
    <td className={parts.figure}>
      {point.expectedU === null ? "not known" : `${plain(point.expectedU, placesFor(point.expectedU))} K`}
    </td>
    <td className={parts.figure}>{point.ratio === null ? "–" : `${plain(point.ratio, 1)} : 1`}</td>
    <td className={parts.after}>
      {point.dominant.map(({ name, share }) => (
        <div key={name} className={css.share}>
          <span>{percent(share)}</span>
          <span>{name}</span>
        </div>
      ))}
    </td>
  </tr>
);

const ItemPlan = ({ item, points, chosen }: { item: Item; points: readonly PlanPoint[]; chosen: Stop | null }) => (
  <section className={css.item} aria-label={item.tag}>
    <h2>{item.tag}</h2>
    <p className={`${parts.note} ${css.facts}`}>
      {item.description}, {sensorWords(item.sensor)}, serial {item.serial}. Tolerance: {toleranceWords(item.tolerance)}.
      Never beyond {nominal(item.limits.minimum)} to {nominal(item.limits.maximum)} °C.
    </p>
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
          <th scope="col" className={parts.after}>
            most of it comes from
          </th>
        </tr>
      </thead>
      <tbody>
        {points.map((point) => (
          <Point key={point.point} point={point} chosen={chosen?.point === point.point} />
        ))}
      </tbody>
    </table>
  </section>
);

const Due = ({ due }: { due: string }) => {
  const day = onDay(due);
  return (
    <time dateTime={due} title={due}>
      {day.text}
    </time>
  );
};

const Kit = ({ job }: { job: Job }) => {
  const { reference, readout, source } = job.kit;
  const { procedure } = job;
  return (
    <section className={css.kit}>
      <h2>Kit</h2>
      <dl>
        <div>
          <dt>
            <RoleShape role="reference" /> reference {reference.id}
          </dt>
          <dd>
            {reference.description}, serial {reference.serial}. Certificate {reference.calibration.certificate} of{" "}
            {reference.calibration.laboratory}, due <Due due={reference.calibration.due} />.
          </dd>
        </div>
        <div>
          <dt>
            <RoleShape role="error" /> readout {readout.id}
          </dt>
          <dd>
            {readout.description}, serial {readout.serial}. Certificate {readout.calibration.certificate}, due{" "}
            <Due due={readout.calibration.due} />.
          </dd>
        </div>
        <div>
          <dt>
            <RoleShape role="source" /> source {source.id}
          </dt>
          <dd>
            {source.description}, serial {source.serial}, {nominal(source.range.minimum)} to{" "}
            {nominal(source.range.maximum)} °C.
          </dd>
        </div>
      </dl>
      <h2>Procedure</h2>
      <dl>
        <div>
          <dt>method</dt>
          <dd>
            {procedure.method.title} ({procedure.method.identifier}, revision {procedure.method.revision})
          </dd>
        </div>
        <div>
          <dt>passes, readings</dt>
          <dd>
            {procedure.passes.map((pass) => passWords[pass]).join(", then ")}; {procedure.readings.count} readings of
            each channel, {procedure.readings.interval} s apart
          </dd>
        </div>
        <div>
          <dt>decision</dt>
          <dd>{ruleWords(procedure.decision)}</dd>
        </div>
      </dl>
    </section>
  );
};

/** Before anything is heated: can this kit prove what the tolerance asks, and what must be seen to first? */
export const PlanStage = ({
  detail,
  run,
  view,
  chosen,
  started,
}: {
  detail: JobDetail;
  run: RunSummary | null;
  view: RunView | null;
  chosen: Stop | null;
  started: (run: string) => void;
}) => {
  const { job, plan } = detail;
  return (
    <div className={css.plan}>
      <div>
        {plan.obstacles.map((obstacle) => (
          <p
            key={`${obstacle.code} ${obstacle.message}`}
            className={parts.trouble}
            role="alert"
            style={{ marginBottom: "var(--step-4)" }}
          >
            <TroubleShape />
            <span>
              <strong>In the way: </strong>
              {obstacle.message}
            </span>
          </p>
        ))}
        {job.items.map((item) => (
          <Fragment key={item.id}>
            <ItemPlan
              item={item}
              points={plan.items.find((entry) => entry.item === item.id)?.points ?? []}
              chosen={chosen}
            />
          </Fragment>
        ))}
      </div>
      <div className={css.side}>
        <Kit job={job} />
        <section aria-label="Cautions">
          {plan.cautions.map((caution) => (
            <p key={caution} className={parts.caution}>
              <CautionShape />
              <span>{caution}</span>
            </p>
          ))}
        </section>
      </div>
      <Begin detail={detail} run={run} view={view} started={started} />
    </div>
  );
};
