import type { JobSummary } from "#contract";
import { stages, type Stage } from "./job-search.ts";
import css from "./stage-selector.module.css";

/** The four stages on a rule with an index mark under the one that is shown; a dot marks the one that is to be done. */
export const StageSelector = ({
  shown,
  next,
  choose,
}: {
  shown: Stage;
  next: JobSummary["stage"];
  choose: (stage: Stage) => void;
}) => (
  <nav className={css.stages} aria-label="Stages of the job">
    {stages.map((stage) => (
      <button
        key={stage}
        type="button"
        className={css.stage}
        aria-current={stage === shown}
        onClick={() => choose(stage)}
      >
        {stage}
        {stage === next && stage !== shown && (
          <>
            <span className={css.next} aria-hidden="true" />
            <span className="unseen">to be done next</span>
          </>
        )}
      </button>
    ))}
  </nav>
);
