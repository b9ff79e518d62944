import type { RunSummary } from "#contract";
import { atTime } from "../figures/clock.ts";
import css from "./job-page.module.css";

/** Which run of the job is shown; only where there is a choice. */
export const RunChoice = ({
  runs,
  shown,
  choose,
}: {
  runs: readonly RunSummary[];
  shown: string;
  choose: (run: string) => void;
}) =>
  runs.length < 2 ? null : (
    <label className={css.runs}>
      run
      <select value={shown} onChange={(event) => choose(event.currentTarget.value)}>
        {runs.map((run) => (
          <option key={run.run} value={run.run}>
            {atTime(run.opened).text} · {run.outcome ?? run.state}
          </option>
        ))}
      </select>
    </label>
  );
