import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import type { Job, JobBench } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { questions, wordsOf } from "../station.ts";
import css from "./job-instruments.module.css";
import type { Places } from "./places.ts";

type Asked = JobBench["instruments"][number];

const stateWords = {
  answers: { shape: <VerdictShape decision="pass" />, tone: parts.pass, word: "answers" },
  silent: { shape: <VerdictShape decision="fail" />, tone: parts.fail, word: "does not answer" },
  another: { shape: <CautionShape />, tone: parts.fail, word: "another is there" },
  "in-use": { shape: <VerdictShape decision="undecided" />, tone: parts.undecided, word: "in use" },
} as const;

const State = ({ state }: { state: keyof typeof stateWords }) => {
  const { shape, tone, word } = stateWords[state];
  return (
    <span className={`${parts.word} ${tone}`}>
      {shape} {word}
    </span>
  );
};

const Offered = ({ asked, own, use }: { asked: Asked; own: string | null; use: (at: string) => void }) => (
  <div className={css.offered}>
    <p>
      {asked.kept.length === 0 ? "No other instrument of this kind is kept on the bench page. " : "Kept on the bench: "}
      {asked.kept.length === 0 && (
        <Link to="/bench">Set it up there, then come back: it can be chosen here for this run.</Link>
      )}
    </p>
    <ul>
      {asked.kept
        .toSorted((a, b) => Number(b.name === own) - Number(a.name === own))
        .map(({ name, at, state, said }) => (
          <li key={name} className={css.row}>
            <State state={state} />
            <span className={css.about}>
              <strong>{name}</strong> at <code>{at}</code>
              {name === own && ", of this job’s kit"}
              <span className={css.under}>“{said}”</span>
            </span>
            <button type="button" className={parts.button} disabled={state === "in-use"} onClick={() => use(at)}>
              Use it for this run<span className="unseen">: {name}</span>
            </button>
          </li>
        ))}
    </ul>
  </div>
);

const Instrument = ({
  asked,
  own,
  place,
  use,
}: {
  asked: Asked;
  /** The entry of the job's kit that it ought to be. */
  own: string | null;
  place: string | undefined;
  use: (at: string | undefined) => void;
}) => {
  const chosen = asked.kept.find(({ at }) => at === place);
  return (
    <li className={css.instrument}>
      <div className={css.row}>
        <State state={chosen?.state ?? asked.state} />
        <span className={css.about}>
          <strong>{asked.id}</strong> {asked.title ?? asked.entry}
          <span className={css.under}>
            {chosen === undefined ? (
              <>
                <code>{asked.at}</code>
                {asked.said !== null && ` “${asked.said}”`}
                {asked.usedBy !== null && ` run ${asked.usedBy} has it`}
              </>
            ) : (
              <>
                this run takes {chosen.name}, at <code>{chosen.at}</code>
              </>
            )}
          </span>
        </span>
        {chosen !== undefined && (
          <button type="button" className={parts.button} onClick={() => use(undefined)}>
            Take the job’s own
          </button>
        )}
      </div>
      {chosen === undefined && asked.fault !== null && <p className={css.why}>{asked.fault.message}</p>}
      {chosen === undefined && asked.state !== "answers" && <Offered asked={asked} own={own} use={use} />}
    </li>
  );
};

/** Whether the job's instruments are where it says, and which of those that are kept can take the place of one that is not. */
export const JobInstruments = ({
  job,
  places,
  choose,
}: {
  job: Job;
  places: Places;
  choose: (places: Places) => void;
}) => {
  const { data, error, isFetching, refetch } = useQuery(questions.instruments(job.job));
  const use = (id: string) => (at: string | undefined) => {
    const { [id]: _, ...others } = places;
    choose(at === undefined ? others : { ...others, [id]: at });
  };
  return (
    <section className={css.instruments} aria-labelledby="instruments">
      <div className={css.head}>
        <h2 id="instruments">Instruments</h2>
        <button
          type="button"
          className={`${parts.button} ${parts.quiet}`}
          disabled={isFetching}
          onClick={() => void refetch()}
        >
          {isFetching ? "Asking …" : "Ask again"}
        </button>
      </div>
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(error)}</span>
        </p>
      )}
      {data === undefined && error === null && <p role="status">Asking the instruments of the job …</p>}
      <ul>
        {data?.instruments.map((asked) => (
          <Instrument
            key={asked.id}
            asked={asked}
            own={asked.role === "item" ? null : job.kit[asked.role].id}
            place={places[asked.id]}
            use={use(asked.id)}
          />
        ))}
      </ul>
    </section>
  );
};
