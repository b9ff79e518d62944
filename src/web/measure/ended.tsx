import type { Job, RunView, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, placesFor, signed } from "../figures/digits.ts";
import type { ReportedErrors } from "../job/reported-errors.ts";
import { passWords, stopKey } from "../job/stops.ts";
import { Hazards } from "./hazards.tsx";
import css from "./measure-stage.module.css";
import { PastApproach } from "./past-approach.tsx";
import { Sentence } from "./sentence.tsx";

const Row = ({
  stop,
  item,
  shown,
  reported,
}: {
  stop: Stop;
  item: string;
  shown: boolean;
  reported: ReportedErrors;
}) => {
  const found = stop.errors.find((entry) => entry.item === item);
  const error =
    found === undefined
      ? (stop.reason ?? (stop.status === "not-measured" ? "not measured" : stop.status))
      : `${signed(found.error, placesFor(found.U))} K`;
  return (
    <tr className={shown ? css.shown : undefined}>
      <th scope="row">
        <strong>{nominal(stop.temperature)} °C</strong> {passWords[stop.pass]}
      </th>
      <td className={parts.figure}>{reported.get(stopKey(stop)) ?? error}</td>
    </tr>
  );
};

/** The run is over: what was measured, how each stop was approached, and the cautions until all is cold. */
export const Ended = ({
  view,
  job,
  item,
  chosen,
  reported,
}: {
  view: RunView;
  job: Job;
  item: string;
  chosen: Stop | null;
  reported: ReportedErrors;
}) => {
  const shown = chosen?.status === "measured" ? chosen : view.route.findLast((stop) => stop.status === "measured");
  return (
    <>
      <Sentence view={view} job={job} />
      <div className={css.look}>
        {shown === undefined ? (
          <p className={parts.note}>No stop was measured.</p>
        ) : job.procedure.ramp !== undefined ? (
          <section className={css.past} aria-label="Approach">
            <h2>
              {view.route.filter((stop) => stop.status === "measured").length} ramps past the change of the contact
            </h2>
            <p className={parts.note}>
              Trip, reset and dead band with their intervals, and what the contact did on each ramp, stand under judge.
            </p>
          </section>
        ) : (
          <section className={css.past} aria-label="Approach">
            <h2>
              How {nominal(shown.temperature)} °C was approached, {passWords[shown.pass]}
            </h2>
            <PastApproach run={view.run} opened={view.opened} stop={shown} item={item} />
          </section>
        )}
        <div className={css.side}>
          <table className={parts.table}>
            <thead>
              <tr>
                <th scope="col">stop</th>
                <th scope="col" className={parts.figure}>
                  {job.procedure.ramp === undefined ? "error ± U" : "changed"}
                </th>
              </tr>
            </thead>
            <tbody>
              {view.route.map((stop) => (
                <Row
                  key={stopKey(stop)}
                  stop={stop}
                  item={item}
                  reported={reported}
                  shown={shown !== undefined && stopKey(stop) === stopKey(shown)}
                />
              ))}
            </tbody>
          </table>
          <Hazards cautions={view.cautions} />
        </div>
      </div>
    </>
  );
};
