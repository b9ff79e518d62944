import { lazy, Suspense, useState } from "react";
import type { Approach, Job, RunSummary, RunView, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { atMillisecond, onRunClock } from "../figures/clock.ts";
import { nominal, percent } from "../figures/digits.ts";
import type { ReportedErrors } from "../job/reported-errors.ts";
import type { Stage } from "../job/job-search.ts";
import { passWords, stopKey } from "../job/stops.ts";
import { useNow } from "../live/use-now.ts";
import type { RunStream } from "../live/use-run-stream.ts";
import { RecordedElsewhere } from "../import/recorded-elsewhere.tsx";
import { LiveOrigin } from "../origin/live-origin.tsx";
import { Controls } from "./controls.tsx";
import { Ended } from "./ended.tsx";
import { seriesOf, withNow } from "./funnel-geometry.ts";
import { Funnel } from "./funnel.tsx";
import { InTheWay } from "./in-the-way.tsx";
import { Hazards } from "./hazards.tsx";
import css from "./measure-stage.module.css";
import { Numerals, type NumeralName } from "./numerals.tsx";
import { RunSafety } from "./run-safety.tsx";
import { Sentence } from "./sentence.tsx";
import { StopNote } from "./stop-note.tsx";

const RampLook = lazy(async () => ({ default: (await import("./ramp-look.tsx")).RampLook }));
const CheckPanel = lazy(async () => ({ default: (await import("./site-panels.tsx")).CheckPanel }));
const HandPanel = lazy(async () => ({ default: (await import("./by-hand/hand-panel.tsx")).HandPanel }));
const AdjustmentPanel = lazy(async () => ({ default: (await import("./site-panels.tsx")).AdjustmentPanel }));
const Traces = lazy(async () => ({ default: (await import("./traces.tsx")).Traces }));

/** Whether what is on the screen can be trusted to be the present. */
const Link = ({ stream, view }: { stream: RunStream; view: RunView }) => {
  const troubled = stream.link === "lost" || stream.link === "quiet";
  const now = useNow(troubled);
  if (troubled && stream.heardAt !== null) {
    return (
      <span className={css.lost} role="alert">
        <TroubleShape />
        <span>
          {stream.link === "lost" ? "The station is out of reach; joining again." : "The station has gone quiet."} What
          you see is from {atMillisecond(stream.heardAt).text}, {Math.round((now - stream.heardAt) / 1000)} s ago.
        </span>
      </span>
    );
  }
  const earlier = view.faults.length - presentFaults(view).length;
  return (
    <span>
      {view.speed === 1 ? "in real time" : `simulated bench, ${nominal(view.speed)} times real time`}
      {view.rehearsal && " · rehearsal"}
      {earlier > 0 && ` · ${earlier} ${earlier === 1 ? "fault" : "faults"} earlier, see judge`}
    </span>
  );
};

/** Faults that matter now: those of the present point. What was put right before stands in the log and under judge. */
const presentFaults = (view: RunView): RunView["faults"] =>
  view.faults.filter((fault) => fault.at >= (view.pointStarted ?? 0));

const Faults = ({ view }: { view: RunView }) => {
  const newestFirst = presentFaults(view).toReversed();
  if (newestFirst.length === 0) return null;
  return (
    <div className={`${parts.trouble} ${css.strip}`} role="alert">
      <TroubleShape />
      <ul>
        {newestFirst.slice(0, 2).map((fault) => (
          <li key={`${fault.at} ${fault.code} ${fault.message}`}>
            <time title={onRunClock(view.opened, fault.at).utc}>{onRunClock(view.opened, fault.at).text}</time>{" "}
            <strong>{fault.message}</strong>
          </li>
        ))}
        {newestFirst.length > 2 && <li>and {newestFirst.length - 2} earlier; all stand in the log</li>}
      </ul>
    </div>
  );
};

const Items = ({ view, item, choose }: { view: RunView; item: string; choose: (item: string) => void }) => (
  <div className={css.items} role="group" aria-label="Items">
    {view.items.map((entry) => {
      const settling = view.settling.find((candidate) => candidate.item === entry.item);
      const won =
        settling === undefined || settling.bound === null ? null : Math.min(1, settling.target / settling.bound);
      return (
        <button
          key={entry.item}
          type="button"
          className={css.itemTab}
          aria-pressed={entry.item === item}
          onClick={() => choose(entry.item)}
        >
          {entry.tag}{" "}
          <span className={parts.note}>{settling?.ready === true ? "ready" : won === null ? "" : percent(won)}</span>
        </button>
      );
    })}
  </div>
);

/** What is read or set by hand, where there is anything to do for hands at this stage. */
const handOf = ({ hand, check, adjustment }: RunView): RunView["hand"] =>
  hand === null || check !== null || adjustment !== null || (hand.setPoint === null && hand.channels.length === 0)
    ? null
    : hand;

const Going = ({
  view,
  job,
  item,
  approach,
  open,
}: {
  view: RunView;
  job: Job;
  item: string;
  approach: Approach | null;
  open: (name: NumeralName) => void;
}) => {
  const settling = view.settling.find((entry) => entry.item === item);
  const error = view.items.find((entry) => entry.item === item)?.error ?? null;
  const byHand = handOf(view);
  if (view.ramp !== null) {
    return (
      <Suspense fallback={<p className={parts.note}>Drawing …</p>}>
        <RampLook
          view={view}
          ramp={view.ramp}
          job={job}
          item={item}
          open={open}
          faults={
            <>
              <RunSafety view={view} />
              <Faults view={view} />
            </>
          }
        />
      </Suspense>
    );
  }
  return (
    <>
      <Numerals view={view} job={job} item={item} open={open} />
      <Sentence view={view} job={job} />
      <RunSafety view={view} />
      <Faults view={view} />
      {byHand !== null && (
        <Suspense fallback={<p className={parts.note}>Opening …</p>}>
          <div className={css.hand}>
            <HandPanel view={view} hand={byHand} by={job.technician} />
            <Hazards cautions={view.cautions} />
          </div>
        </Suspense>
      )}
      {byHand === null && (
        <div className={css.look}>
          {view.check !== null || view.adjustment !== null ? (
            <Suspense fallback={<p className={parts.note}>Opening …</p>}>
              {view.check !== null && <CheckPanel check={view.check} />}
              {view.adjustment !== null && (
                <AdjustmentPanel
                  advice={view.adjustment}
                  tags={new Map(view.items.map((entry) => [entry.item, entry.tag]))}
                />
              )}
            </Suspense>
          ) : (
            <Funnel
              moment={{ opened: view.opened, started: view.pointStarted ?? 0, at: view.at }}
              settling={settling}
              series={withNow(seriesOf(approach, item), view.at, error, settling)}
            />
          )}
          <div className={css.side}>
            {view.check === null && view.adjustment === null && <InTheWay settling={settling} />}
            <Hazards cautions={view.cautions} />
          </div>
        </div>
      )}
    </>
  );
};

const NotStarted = ({
  job,
  run,
  stream,
  go,
  taken,
}: {
  job: Job;
  run: RunSummary | null;
  stream: RunStream;
  go: (stage: Stage) => void;
  taken: (run: RunSummary) => void;
}) => (
  <div className={css.empty}>
    {run === null ? (
      <>
        <h2>Nothing is being measured yet.</h2>
        <p>
          The plan says what is expected and starts the run; then the three numerals, the funnel and the time left stand
          here.
        </p>
        <button
          type="button"
          className={`${parts.button} ${parts.main}`}
          style={{ marginTop: "var(--step-4)" }}
          onClick={() => go("plan")}
        >
          Go to the plan
        </button>
        <RecordedElsewhere job={job} taken={taken} />
      </>
    ) : (
      <p role="status">
        {stream.link === "lost" ? "The station is out of reach; joining again." : "Joining the run …"}
      </p>
    )}
  </div>
);

export const MeasureStage = ({
  job,
  run,
  stream,
  item,
  chosen,
  reported,
  chooseItem,
  forget,
  go,
  taken,
}: {
  job: Job;
  run: RunSummary | null;
  stream: RunStream;
  item: string;
  chosen: Stop | null;
  reported: ReportedErrors;
  chooseItem: (item: string) => void;
  forget: () => void;
  go: (stage: Stage) => void;
  /** Readings of a file have become a run. */
  taken: (run: RunSummary) => void;
}) => {
  const [opened, setOpened] = useState<NumeralName | null>(null);
  const { view, approach } = stream;
  if (view === null || run === null) return <NotStarted job={job} run={run} stream={stream} go={go} taken={taken} />;
  const stale = stream.link === "lost" || stream.link === "quiet";
  const present = view.route.find((stop) => stop.pass === view.pass && stop.point === view.point) ?? null;
  const other = chosen !== null && (present === null || stopKey(chosen) !== stopKey(present)) ? chosen : null;
  const over = view.stage === "ended" || view.stage === "cooling";
  return (
    <div className={css.measure}>
      <div className={`${css.body} ${stale ? css.stale : ""}`}>
        {other !== null && !over && <StopNote stop={other} item={item} reported={reported} forget={forget} />}
        {view.items.length > 1 && <Items view={view} item={item} choose={chooseItem} />}
        {over ? (
          <Ended view={view} job={job} item={item} chosen={chosen} reported={reported} />
        ) : (
          <Going view={view} job={job} item={item} approach={approach} open={setOpened} />
        )}
        {!over && approach !== null && (
          <section className={css.chart} aria-label="Temperatures">
            <h2>Temperatures since the set point, {view.pass === null ? "" : passWords[view.pass]}</h2>
            <Suspense fallback={<p className={parts.note}>Drawing …</p>}>
              <Traces approach={approach} item={item} from={view.pointStarted ?? 0} />
            </Suspense>
          </section>
        )}
      </div>
      {over && view.commands.length <= 1 ? (
        <div className={css.controls}>
          <div className={css.status}>
            {view.outcome === "completed" ? "Every stop is behind you." : "The run is over; what was measured stands."}
          </div>
          <button type="button" className={`${parts.button} ${parts.main}`} onClick={() => go("judge")}>
            Judge the results
          </button>
        </div>
      ) : (
        <Controls
          view={view}
          by={job.technician}
          repeat={other !== null && other.status !== "ahead" ? other : null}
          status={<Link stream={stream} view={view} />}
        />
      )}
      <LiveOrigin name={opened} close={() => setOpened(null)} view={view} job={job} item={item} />
    </div>
  );
};
