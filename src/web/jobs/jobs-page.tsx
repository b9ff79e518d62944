import { useDisclosure, useHotkeys } from "@mantine/hooks";
import { IconArrowRight, IconPlus } from "@tabler/icons-react";
import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { useEffect } from "react";
import type { JobSummary } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { Verdict } from "../face/shapes.tsx";
import { questions, wordsOf } from "../station.ts";
import { AddJob } from "./add-job.tsx";
import css from "./jobs-page.module.css";
import { KitDue } from "./kit-due.tsx";
import { MiniRoute } from "./mini-route.tsx";

const next: Record<Exclude<JobSummary["stage"], "done">, string> = {
  plan: "Open the plan",
  measure: "Go on measuring",
  judge: "Judge the results",
  issue: "Issue",
};

const progress = ({ latestRun, stage }: JobSummary): string | null => {
  if (latestRun === null) return null;
  if (latestRun.state === "interrupted") return "interrupted, can go on";
  if (stage === "measure")
    return `${latestRun.measured} of ${latestRun.points} stops${latestRun.state === "paused" ? ", paused" : ""}`;
  return null;
};

const Row = ({ job }: { job: JobSummary }) => {
  const done = job.stage === "done";
  const stands = progress(job);
  return (
    <li className={`${css.row} ${done ? css.done : ""}`}>
      <div>
        <div className={css.stands}>
          {job.stage === "done" ? <Verdict decision={job.latestRun?.decision ?? null} /> : job.stage}
        </div>
        {stands !== null && <div className={parts.note}>{stands}</div>}
        {done && <div className={parts.note}>{job.latestRun?.certificate}</div>}
      </div>
      <div>
        <p className={css.title}>
          <Link to="/jobs/$job" params={{ job: job.job }}>
            {job.title}
          </Link>
        </p>
        <p className={parts.note}>
          {job.items.map((item) => item.tag).join(", ")} · {job.customer}, {job.place}
          {job.rehearsal && " · rehearsal"}
        </p>
      </div>
      <MiniRoute job={job} />
      <Link
        className={`${parts.button} ${done ? "" : parts.main} ${css.act}`}
        to="/jobs/$job"
        params={{ job: job.job }}
        aria-label={`${done ? "Open" : next[job.stage as keyof typeof next]}: ${job.title}`}
      >
        {done ? "Open" : next[job.stage as keyof typeof next]}
        <IconArrowRight size={20} aria-hidden="true" />
      </Link>
    </li>
  );
};

const Empty = ({ add }: { add: () => void }) => (
  <section className={css.empty}>
    <h2>No job is here yet. Three steps to the first certificate:</h2>
    <ol>
      <li>
        <span>
          Write down what is to be calibrated, with what, at which temperatures: a <strong>job file</strong> in YAML or
          JSON. The folder <code>examples/</code> has three to begin from.
        </span>
      </li>
      <li>
        <span>
          Paste it here or choose the file. Whatever is missing or wrong is named by its line, with what to write
          instead.
        </span>
      </li>
      <li>
        <span>The plan then says whether the kit can prove what the tolerance asks, before anything is heated.</span>
      </li>
    </ol>
    <button type="button" className={`${parts.button} ${parts.main}`} onClick={add}>
      <IconPlus size={20} aria-hidden="true" />
      Add a job
    </button>
  </section>
);

export const JobsPage = () => {
  const { data: jobs, error, isPending } = useQuery(questions.jobs);
  const { data: station } = useQuery(questions.station);
  const [adding, { open, close }] = useDisclosure(false);
  useHotkeys([["a", open]]);
  useEffect(() => {
    document.title = "Jobs · Dwellpoint";
  }, []);
  const openJobs = jobs?.filter((job) => job.stage !== "done") ?? [];
  const doneJobs = jobs?.filter((job) => job.stage === "done") ?? [];
  return (
    <Page>
      <div className={css.head}>
        <div>
          <h1>Jobs</h1>
          <p className={parts.note}>{station === undefined ? "" : `${station.name} ${station.version}`}</p>
        </div>
        {jobs !== undefined && jobs.length > 0 && (
          <button type="button" className={parts.button} onClick={open}>
            <IconPlus size={20} aria-hidden="true" />
            Add a job <kbd className={parts.key}>a</kbd>
          </button>
        )}
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <strong>The jobs cannot be shown.</strong> {wordsOf(error)}
        </p>
      )}
      <KitDue />
      {jobs?.length === 0 && <Empty add={open} />}
      {openJobs.length > 0 && (
        <section aria-labelledby="open-jobs" style={{ marginTop: "var(--step-5)" }}>
          <h2 id="open-jobs" className="unseen">
            Open
          </h2>
          <ul className={css.list}>
            {openJobs.map((job) => (
              <Row key={job.job} job={job} />
            ))}
          </ul>
        </section>
      )}
      {doneJobs.length > 0 && (
        <section aria-labelledby="done-jobs" style={{ marginTop: "var(--step-6)" }}>
          <h2 id="done-jobs">Finished</h2>
          <ul className={css.list}>
            {doneJobs.map((job) => (
              <Row key={job.job} job={job} />
            ))}
          </ul>
        </section>
      )}
      <AddJob opened={adding} close={close} />
    </Page>
  );
};
