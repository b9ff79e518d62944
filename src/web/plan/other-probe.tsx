import { StationRefusal } from "#contract";
import parts from "../face/parts.module.css";
import css from "./plan-stage.module.css";

const knownIn = (data: unknown): string | null =>
  typeof data === "object" && data !== null && "known" in data && typeof data.known === "string" ? data.known : null;

/** Where another reference is plugged in than the job's: the two ways in which a person may go on. */
export const OtherProbe = ({ error, decide }: { error: Error | null; decide: (probe: "job" | "plugged") => void }) => {
  if (!(error instanceof StationRefusal) || error.problem.code !== "kit.another-probe") return null;
  const known = knownIn(error.problem.data);
  return (
    <div className={css.decide} role="group" aria-label="Which probe it is">
      {known !== null && (
        <button type="button" className={parts.button} onClick={() => decide("plugged")}>
          Take {known} for this run
        </button>
      )}
      <button type="button" className={parts.button} onClick={() => decide("job")}>
        It is the job’s probe all the same
      </button>
    </div>
  );
};
