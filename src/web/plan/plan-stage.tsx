import { Fragment, lazy, Suspense, useState } from "react";
import type { Job, JobDetail, Plan, RunSummary, RunView, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, RoleShape, TroubleShape } from "../face/shapes.tsx";
import { onDay } from "../figures/clock.ts";
import { nominal } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import { RecordedElsewhere } from "../import/recorded-elsewhere.tsx";
import { Begin } from "./begin.tsx";
import { DayPlan } from "./day-plan.tsx";
import { ItemPlan } from "./item-plan.tsx";
import { KitComparison } from "./kit-comparison.tsx";
import type { Places } from "./places.ts";
import { NewerKit } from "./newer-kit.tsx";
import { OrderAndTime } from "./order-and-time.tsx";
import { readingWords, ruleWords } from "./words.ts";
import css from "./plan-stage.module.css";

const JobInstruments = lazy(async () => ({ default: (await import("./job-instruments.tsx")).JobInstruments }));

const Due = ({ due }: { due: string }) => {
  const day = onDay(due);
  return (
    <time dateTime={due} title={due}>
      {day.text}
    </time>
  );
};

const Kit = ({ job, check }: { job: Job; check: Plan["referenceCheck"] }) => {
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
            {check?.agrees === true && <> {check.words}</>}
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
            {procedure.passes.map((pass) => passWords[pass]).join(", then ")}; {readingWords(procedure)}
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
  taken,
}: {
  detail: JobDetail;
  run: RunSummary | null;
  view: RunView | null;
  chosen: Stop | null;
  started: (run: string) => void;
  /** Readings of a file have become a run. */
  taken: (run: RunSummary) => void;
}) => {
  const { job, plan } = detail;
  const [places, setPlaces] = useState<Places>({});
  const going = run !== null && run.state !== "ended";
  const real = job.bench.instruments.some(({ at }) => at !== "simulated");
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
        <NewerKit job={job.job} busy={going} />
        {real && !going && (
          <Suspense fallback={<p role="status">Asking the instruments of the job …</p>}>
            <JobInstruments job={job} places={places} choose={setPlaces} />
          </Suspense>
        )}
        {job.items.map((item) => (
          <Fragment key={item.id}>
            <ItemPlan item={item} plan={plan.items.find((entry) => entry.item === item.id) ?? null} chosen={chosen} />
          </Fragment>
        ))}
        <OrderAndTime detail={detail} busy={going} />
        {plan.ready && <DayPlan job={job.job} />}
        <KitComparison job={job.job} />
        {!going && <RecordedElsewhere job={job} taken={taken} />}
      </div>
      <div className={css.side}>
        <Kit job={job} check={plan.referenceCheck} />
        <section aria-label="Cautions">
          {plan.cautions.map((caution) => (
            <p key={caution} className={parts.caution}>
              <CautionShape />
              <span>{caution}</span>
            </p>
          ))}
        </section>
      </div>
      <Begin detail={detail} run={run} view={view} places={places} started={started} />
    </div>
  );
};
