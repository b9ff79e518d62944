import type { Stop } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, placesFor, signed } from "../figures/digits.ts";
import type { ReportedErrors } from "../job/reported-errors.ts";
import { passWords, stopKey } from "../job/stops.ts";
import css from "./measure-stage.module.css";

const statuses: Record<Stop["status"], string> = {
  ahead: "still to come",
  approaching: "the source is on its way there",
  settling: "settling",
  measuring: "being measured",
  measured: "measured",
  "not-measured": "not measured",
  skipped: "skipped",
  trouble: "in trouble",
};

/** What is known of a stop that was tapped on the route while the run is elsewhere. */
export const StopNote = ({
  stop,
  item,
  reported,
  forget,
}: {
  stop: Stop;
  item: string;
  reported: ReportedErrors;
  forget: () => void;
}) => {
  const found = stop.errors.find((entry) => entry.item === item);
  const error =
    found === undefined ? null : (reported.get(stopKey(stop)) ?? `${signed(found.error, placesFor(found.U))} K`);
  return (
    <div className={css.stopNote}>
      <p>
        <strong>
          {nominal(stop.temperature)} °C {passWords[stop.pass]}
        </strong>{" "}
        {statuses[stop.status]}
        {error !== null && `, error ${error}`}
        {stop.reason !== null && `: ${stop.reason}`}
        {stop.status === "measured" && ". Repeat below takes this point."}
      </p>
      <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={forget}>
        Back to now
      </button>
    </div>
  );
};
