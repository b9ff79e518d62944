import type { Job, RunView, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape } from "../face/shapes.tsx";
import { nominal, placesFor, plain, signed } from "../figures/digits.ts";
import { passWords, stopKey } from "../job/stops.ts";
import css from "./measure-stage.module.css";
import { PastApproach } from "./past-approach.tsx";
import { Sentence } from "./sentence.tsx";

const Row = ({ stop, item, shown }: { stop: Stop; item: string; shown: boolean }) => {
  const found = stop.errors.find((entry) => entry.item === item);
  const places = placesFor(found?.U ?? null);
  return (
    <tr className={shown ? css.shown : undefined}>
      <th scope="row">
        <strong>{nominal(stop.temperature)} °C</strong> {passWords[stop.pass]}
      </th>
      <td className={parts.figure}>
        {found === undefined ? (stop.reason ?? stop.status) : `${signed(found.error, places)} K`}
      </td>
      <td className={parts.figure}>{found === undefined || found.U === null ? "" : `± ${plain(found.U, places)} K`}</td>
    </tr>
  );
};

/** The run is over: what was measured, how each stop was approached, and the cautions until all is cold. */
export const Ended = ({ view, job, item, chosen }: { view: RunView; job: Job; item: string; chosen: Stop | null }) => {
  const shown = chosen?.status === "measured" ? chosen : view.route.findLast((stop) => stop.status === "measured");
  return (
    <>
      <Sentence view={view} job={job} />
      <div className={css.look}>
        {shown === undefined ? (
          <p className={parts.note}>No stop was measured.</p>
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
                  error
                </th>
                <th scope="col" className={parts.figure}>
                  U
                </th>
              </tr>
            </thead>
            <tbody>
              {view.route.map((stop) => (
                <Row
                  key={stopKey(stop)}
                  stop={stop}
                  item={item}
                  shown={shown !== undefined && stopKey(stop) === stopKey(shown)}
                />
              ))}
            </tbody>
          </table>
          <div>
            {view.cautions.map((caution) => (
              <p key={caution} className={`${parts.caution} ${css.hazard}`}>
                <CautionShape />
                <span>{caution}</span>
              </p>
            ))}
          </div>
        </div>
      </div>
    </>
  );
};
