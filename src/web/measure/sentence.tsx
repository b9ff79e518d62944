import type { Job, RunView, SettlingView } from "#contract";
import { duration, onRunClock } from "../figures/clock.ts";
import css from "./measure-stage.module.css";

/** The forecast that decides: that of the item that will be ready last. */
const latestForecast = (settling: readonly SettlingView[]): SettlingView["forecast"] => {
  const waiting = settling.filter((entry) => !entry.ready);
  if (waiting.length === 0 || waiting.some((entry) => entry.forecast === null)) return null;
  return waiting
    .map((entry) => entry.forecast)
    .reduce((a, b) => (a === null || (b !== null && b.at > a.at) ? b : a), null);
};

const Clock = ({ opened, seconds }: { opened: string; seconds: number }) => {
  const { text, utc, iso } = onRunClock(opened, seconds);
  return (
    <time dateTime={iso} title={utc}>
      {text}
    </time>
  );
};

/** When all points will be done; said only where more than the present point is ahead. */
const WholeRun = ({ view }: { view: RunView }) => {
  if (view.finish === null || !view.route.some(({ status }) => status === "ahead")) return null;
  return (
    <>
      <br />
      all points by about <Clock opened={view.opened} seconds={view.finish.at} /> (
      <Clock opened={view.opened} seconds={view.finish.from} /> to{" "}
      <Clock opened={view.opened} seconds={view.finish.to} />)
    </>
  );
};

const outcomes = { completed: "completed", stopped: "stopped", failed: "failed" } as const;

/** Readings by hand come slower: a minute apart where the procedure says nothing. */
const intervalOf = (view: RunView, { procedure }: Job): number =>
  view.hand === null || view.hand.channels.length === 0
    ? procedure.readings.interval
    : (procedure.readingsByHand?.interval ?? 60);

/** Time left, and what the clock will show then. */
export const TimeLeft = ({ view, job }: { view: RunView; job: Job }) => {
  if (view.stage === "ended" || view.stage === "cooling") {
    return (
      <div className={css.time}>
        <div className={css.left}>{view.outcome === null ? "cooling" : outcomes[view.outcome]}</div>
        <div className={css.clock}>
          after <span>{duration(view.at)}</span>
        </div>
      </div>
    );
  }
  if (view.stage === "paused") return <Paused view={view} />;
  if (view.stage === "checking") return <Words left="check" clock="of the reference" />;
  if (view.stage === "adjusting") return <Words left="adjust" clock="the run waits for you" />;
  if (view.stage === "ready") return <Words left="not started" clock="" />;
  if (view.readings !== null) {
    const { taken, wanted } = view.readings;
    return (
      <Words
        left={`${taken} of ${wanted}`}
        clock={`readings, ${duration((wanted - taken) * intervalOf(view, job))} left`}
      />
    );
  }
  if (view.ramp !== null) {
    const { endsBy } = view.ramp;
    if (endsBy === null) return <Words left="–" clock="the ramp has not begun" />;
    return (
      <div className={css.time}>
        <div className={css.left}>{duration(Math.max(0, endsBy - view.at))}</div>
        <div className={css.clock}>
          at most, until{" "}
          <strong>
            <Clock opened={view.opened} seconds={endsBy} />
          </strong>
        </div>
      </div>
    );
  }
  const forecast = latestForecast(view.settling);
  if (forecast === null) return <Words left="–" clock="no forecast yet" />;
  return (
    <div className={css.time}>
      <div className={css.left}>{duration(forecast.at - view.at)}</div>
      <div className={css.clock}>
        ready about{" "}
        <strong>
          <Clock opened={view.opened} seconds={forecast.at} />
        </strong>
        <br />
        <Clock opened={view.opened} seconds={forecast.from} /> to <Clock opened={view.opened} seconds={forecast.to} />
        <WholeRun view={view} />
      </div>
    </div>
  );
};

/** A pause, or a break with the moment at which the source is switched off. */
const Paused = ({ view }: { view: RunView }) => {
  if (view.contact !== null) return <Words left="paused" clock="contact is lost" />;
  if (view.onBreak === null)
    return <Words left="paused" clock={view.output ? "the source holds" : "the source is off"} />;
  const { until } = view.onBreak;
  if (until === null) return <Words left="break" clock="the source is off" />;
  return (
    <div className={css.time}>
      <div className={css.left}>break</div>
      <div className={css.clock}>
        off at{" "}
        <strong>
          <Clock opened={view.opened} seconds={until} />
        </strong>
      </div>
    </div>
  );
};

const Words = ({ left, clock }: { left: string; clock: string }) => (
  <div className={css.time}>
    <div className={css.left}>{left}</div>
    <div className={css.clock}>{clock}</div>
  </div>
);

/** One sentence: what is happening, what to do now. It is read aloud only when the stage changes, not at each reading. */
export const Sentence = ({ view, job }: { view: RunView; job: Job }) => (
  <div className={css.say}>
    <p className={css.sentence}>
      <span className={css.happening}>{view.sentence.happening}</span>{" "}
      <span className={view.sentence.now.length > 90 ? css.advice : css.now}>{view.sentence.now}</span>
    </p>
    <TimeLeft view={view} job={job} />
    <p className="unseen" role="status">
      {view.ramp === null && view.stage === "measuring"
        ? `Ready; being measured at ${view.setPoint} °C.`
        : `${view.stage}${view.setPoint === null ? "" : ` at ${view.setPoint} °C`}`}
    </p>
  </div>
);
