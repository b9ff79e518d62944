import { useHotkeys } from "@mantine/hooks";
import { useQuery, useQueryClient } from "@tanstack/react-query";
import { Link, useNavigate, useParams, useSearch } from "@tanstack/react-router";
import { useEffect } from "react";
import type { JobDetail, RunSummary, Stop } from "#contract";
import { Bar } from "../face/bar.tsx";
import { Page } from "../face/page.tsx";
import shell from "../face/shell.module.css";
import { IssueStage } from "../issue/issue-stage.tsx";
import { JudgeStage } from "../judge/judge-stage.tsx";
import { useRunStream } from "../live/use-run-stream.ts";
import { usePresence } from "../live/use-presence.ts";
import { useTones } from "../live/use-tones.ts";
import { useWakeLock } from "../live/use-wake-lock.ts";
import { MeasureStage } from "../measure/measure-stage.tsx";
import { StopControl } from "../measure/stop-control.tsx";
import { PlanStage } from "../plan/plan-stage.tsx";
import { questions, wordsOf } from "../station.ts";
import css from "./job-page.module.css";
import type { JobSearch, Stage } from "./job-search.ts";
import { reportedErrors } from "./reported-errors.ts";
import { RouteLine } from "./route-line.tsx";
import { RunChoice } from "./run-choice.tsx";
import { StageSelector } from "./stage-selector.tsx";
import { presentStop, routeAhead, stopKey } from "./stops.ts";

const stageOf = (detail: JobDetail, run: RunSummary | null, search: JobSearch): Stage => {
  if (search.stage !== undefined) return search.stage;
  if (detail.stage === "done") return "issue";
  return run === null ? "plan" : detail.stage;
};

const Whole = ({ detail }: { detail: JobDetail }) => {
  const search = useSearch({ from: "/jobs/$job" });
  const navigate = useNavigate({ from: "/jobs/$job" });
  const queries = useQueryClient();
  const { job } = detail;
  const run = detail.runs.find((entry) => entry.run === search.run) ?? detail.runs[0] ?? null;
  const stream = useRunStream(run?.run ?? null);
  const { view } = stream;
  useTones(view);
  usePresence(view);
  useWakeLock(view !== null && view.stage !== "ended");

  const shown = stageOf(detail, run, search);
  const set = (change: JobSearch): void =>
    void navigate({ search: (before) => ({ ...before, ...change }), replace: change.stage === undefined });
  useHotkeys([
    ["1", () => set({ stage: "plan", stop: undefined })],
    ["2", () => set({ stage: "measure", stop: undefined })],
    ["3", () => set({ stage: "judge", stop: undefined })],
    ["4", () => set({ stage: "issue", stop: undefined })],
  ]);

  // What the station says about the job changes when the run ends or a point is finished.
  const progress =
    view === null
      ? null
      : `${view.run} ${view.stage === "ended"} ${view.route.filter((stop) => stop.status === "measured").length}`;
  useEffect(() => {
    if (progress === null) return;
    void queries.invalidateQueries({ queryKey: ["jobs"] });
    void queries.invalidateQueries({ queryKey: ["runs"], predicate: ({ queryKey }) => queryKey[2] === "result" });
  }, [progress, queries]);

  const stops = view?.route ?? routeAhead(job);
  const present = presentStop(view);
  const item = job.items.find((entry) => entry.id === search.item)?.id ?? job.items[0]!.id;
  const anyMeasured = stops.some((stop) => stop.status === "measured");
  const { data: judged } = useQuery({ ...questions.result(run?.run ?? ""), enabled: run !== null && anyMeasured });
  const reported = reportedErrors(judged?.result, item);
  const chosen = stops.find((stop) => stopKey(stop) === search.stop) ?? null;
  const select = (stop: Stop): void => set({ stop: stopKey(stop) });
  return (
    <>
      <Bar>
        <div className={css.title}>
          <h1>{job.title}</h1>
          <p className={css.facts}>
            {job.job} · {job.items.map((entry) => entry.tag).join(", ")} · {job.customer.name}, {job.place}
            {job.rehearsal && " · rehearsal"}
          </p>
        </div>
        <RunChoice
          runs={detail.runs}
          shown={run?.run ?? ""}
          choose={(chosenRun) => set({ run: chosenRun, stop: undefined })}
        />
        <StageSelector shown={shown} next={detail.stage} choose={(stage) => set({ stage, stop: undefined })} />
      </Bar>
      <div className={css.spine}>
        <RouteLine
          stops={stops}
          present={present}
          selected={chosen === null ? null : stopKey(chosen)}
          item={item}
          reported={reported}
          select={select}
        />
      </div>
      <main id="main" tabIndex={-1} className={`${shell.main} ${css.stage}`}>
        {shown === "plan" && (
          <PlanStage
            detail={detail}
            run={run}
            view={view}
            chosen={chosen}
            started={(started) => set({ stage: "measure", run: started })}
            taken={({ run: read }) => set({ stage: "judge", run: read, stop: undefined })}
          />
        )}
        {shown === "measure" && (
          <MeasureStage
            job={job}
            run={run}
            stream={stream}
            item={item}
            chosen={chosen}
            reported={reported}
            chooseItem={(id) => set({ item: id })}
            forget={() => void navigate({ search: (before) => ({ ...before, stop: undefined }), replace: true })}
            go={(stage) => set({ stage })}
            taken={({ run: read }) => set({ stage: "judge", run: read, stop: undefined })}
          />
        )}
        {shown === "judge" && (
          <JudgeStage
            job={job}
            run={run}
            item={item}
            chosen={chosen}
            chooseItem={(id) => set({ item: id })}
            choose={(stop) => set({ stop })}
            go={(stage) => set({ stage })}
          />
        )}
        {shown === "issue" && <IssueStage job={job} run={run} go={(stage) => set({ stage })} />}
      </main>
      {shown !== "measure" && view !== null && view.output && view.stage !== "ended" && (
        <aside className={css.running} aria-label="The run goes on">
          <p>
            <strong>The source heats.</strong> {view.sentence.happening}
          </p>
          <StopControl view={view} by={job.technician} stopped={() => set({ stage: "measure", stop: undefined })} />
        </aside>
      )}
    </>
  );
};

export const JobPage = () => {
  const { job } = useParams({ from: "/jobs/$job" });
  const { data, error, isPending } = useQuery(questions.job(job));
  useEffect(() => {
    document.title = data === undefined ? "Dwellpoint" : `${data.job.title} · Dwellpoint`;
  }, [data]);
  if (data !== undefined) return <Whole key={data.job.job} detail={data} />;
  return (
    <Page>
      {isPending ? (
        <p role="status">Opening the job …</p>
      ) : (
        <>
          <h1>This job cannot be opened.</h1>
          <p>{wordsOf(error)}</p>
          <p>
            <Link to="/">Go to the jobs</Link>.
          </p>
        </>
      )}
    </Page>
  );
};
