import { useMutation, useQueryClient } from "@tanstack/react-query";
import type { JobDetail } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { nominal } from "../figures/digits.ts";
import { client, wordsOf } from "../station.ts";
import { minutesText } from "./minutes.ts";
import css from "./plan-stage.module.css";

const Way = ({ temperatures, label }: { temperatures: readonly number[]; label: string }) => (
  <div className={css.way}>
    <span className={css.wayLabel}>{label}</span>
    <ol className={css.stops}>
      {temperatures.map((temperature, index) => (
        // The same temperature may be visited twice.
        <li key={`${index} ${temperature}`}>{nominal(temperature)}</li>
      ))}
    </ol>
    <span className={css.wayUnit}>°C</span>
  </div>
);

/** How long the visit takes, and the quicker order of its points where there is one: it is taken before a run is opened. */
export const OrderAndTime = ({ detail, busy }: { detail: JobDetail; busy: boolean }) => {
  const { job, plan } = detail;
  const { order, time } = plan;
  const queries = useQueryClient();
  const use = useMutation({
    mutationFn: () => client.takeOrder(job.job, order.points),
    onSuccess: (changed) => {
      queries.setQueryData(["jobs", job.job], changed);
      void queries.invalidateQueries({ queryKey: ["jobs"] });
    },
  });
  return (
    <section className={parts.section} aria-label="Order and time">
      <h2>Order and time</h2>
      <dl className={css.times}>
        <div>
          <dt>points</dt>
          <dd>
            {minutesText(time.points)}
            <span className={css.under}>
              {minutesText(time.shortest)} to {minutesText(time.longest)}
            </span>
          </dd>
        </div>
        <div>
          <dt>then touch-safe after</dt>
          <dd>{minutesText(time.leaving.touchSafe)}</dd>
        </div>
        <div>
          <dt>cold enough to carry after</dt>
          <dd>{minutesText(time.leaving.transport)}</dd>
        </div>
        <div>
          <dt>in all</dt>
          <dd>{minutesText(time.whole)}</dd>
        </div>
        {time.asLeft !== null && (
          <div>
            <dt>more, if adjusted</dt>
            <dd>{minutesText(time.asLeft)}</dd>
          </div>
        )}
      </dl>
      {order.differs ? (
        <div className={css.proposal}>
          <div>
            <Way label="as written" temperatures={job.procedure.points.map(({ temperature }) => temperature)} />
            <Way label={order.exact ? "quickest" : "quicker"} temperatures={order.temperatures} />
            <p>
              This order saves <strong>{minutesText(order.saves)}</strong> until everything can be carried away.
            </p>
          </div>
          <button type="button" className={parts.button} disabled={busy || use.isPending} onClick={() => use.mutate()}>
            {use.isPending ? "Changing …" : "Use this order"}
          </button>
        </div>
      ) : (
        <p>No order that the procedure allows is quicker than this one.</p>
      )}
      {use.error !== null && (
        <p className={parts.trouble} role="alert">
          <TroubleShape />
          {wordsOf(use.error)}
        </p>
      )}
      {busy && order.differs && (
        <p className={parts.note}>A run of this job is going on; the order can be changed before the next one.</p>
      )}
      <p className={parts.note}>{[...order.bound, time.basis].join(" ")}</p>
    </section>
  );
};
