import type { Stop } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, placesFor, plain, signed } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import css from "./measure-stage.module.css";

const statuses: Record<Stop["status"], string> = {
  ahead: "still to come",
  approaching: "the source is on its way there",
  settling: "settling",
  measuring: "being measured",
  measured: "measured",
  skipped: "skipped",
  trouble: "in trouble",
};

/** What is known of a stop that was tapped on the route while the run is elsewhere. */
export const StopNote = ({ stop, item, forget }: { stop: Stop; item: string; forget: () => void }) => {
  const found = stop.errors.find((entry) => entry.item === item);
  const places = placesFor(found?.U ?? null);
  return (
    <div className={css.stopNote}>
      <p>
        <strong>
          {nominal(stop.temperature)} °C {passWords[stop.pass]}
        </strong>{" "}
        {statuses[stop.status]}
        {found !== undefined &&
          `, error ${signed(found.error, places)} K${found.U === null ? "" : ` ± ${plain(found.U, places)} K`}`}
        {stop.reason !== null && `: ${stop.reason}`}
        {stop.status === "measured" && ". Repeat below takes this point."}
      </p>
      <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={forget}>
        Back to now
      </button>
    </div>
  );
};
