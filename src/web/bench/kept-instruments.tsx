import { useMutation, useQuery, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import type { BenchAnswer, KeptInstrument, StillThere } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { atTime, onDay } from "../figures/clock.ts";
import { client, wordsOf } from "../station.ts";
import css from "./bench-page.module.css";
import { JobLine } from "./job-line.tsx";
import { LiveValues } from "./live-values.tsx";

/** Whether it is there, as a shape and a word. */
const State = ({
  usedBy,
  asked,
  asking,
}: {
  usedBy: string | null;
  asked: StillThere | undefined;
  asking: boolean;
}) => {
  if (usedBy !== null)
    return (
      <span className={parts.word}>
        <VerdictShape decision="undecided" /> in use
      </span>
    );
  if (asking)
    return (
      <span className={parts.word}>
        <VerdictShape decision={null} /> asking …
      </span>
    );
  if (asked === undefined)
    return (
      <span className={`${parts.word} ${parts.undecided}`}>
        <VerdictShape decision={null} /> not asked yet
      </span>
    );
  if (asked.state === "answers")
    return (
      <span className={`${parts.word} ${parts.pass}`}>
        <VerdictShape decision="pass" /> answers
      </span>
    );
  return (
    <span className={`${parts.word} ${parts.fail}`}>
      {asked.state === "another" ? <CautionShape /> : <VerdictShape decision="fail" />}
      {asked.state === "another" ? "another is there" : "does not answer"}
    </span>
  );
};

const whyNot = (asked: StillThere | undefined, error: Error | null): string | null => {
  if (error !== null) return wordsOf(error);
  if (asked === undefined || asked.state === "answers") return null;
  return (
    asked.fault?.message ??
    `“${asked.said}” answers there now. Check the address and the plugs; or set it up anew, if it was exchanged.`
  );
};

const LetGo = ({ name }: { name: string }) => {
  const [sure, setSure] = useState(false);
  const queries = useQueryClient();
  const go = useMutation({
    mutationFn: () => client.letInstrumentGo(name),
    onSuccess: () => queries.invalidateQueries({ queryKey: ["bench"] }),
  });
  if (!sure)
    return (
      <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={() => setSure(true)}>
        Let it go<span className="unseen">: {name}</span>
      </button>
    );
  return (
    <>
      <button type="button" className={`${parts.button} ${parts.danger}`} onClick={() => go.mutate()}>
        Take {name} off the list
      </button>
      <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={() => setSure(false)}>
        No
      </button>
      {go.error !== null && <p role="alert">{wordsOf(go.error)}</p>}
    </>
  );
};

/** Its values: each unit is tried once, so that the one that is wired is seen first. */
const Values = ({ known, entry }: { known: KeptInstrument; entry: BenchAnswer["entries"][number] }) => {
  const { data: trial, error } = useQuery({
    queryKey: ["tried", known.entry, known.at],
    queryFn: () => client.tryInstrument({ entry: known.entry, at: known.at }),
    gcTime: 0,
    staleTime: Number.POSITIVE_INFINITY,
  });
  const why = error === null ? trial?.fault?.message : wordsOf(error);
  if (why !== undefined)
    return (
      <p role="alert" className={parts.trouble}>
        <TroubleShape />
        <span>{why}</span>
      </p>
    );
  if (trial === undefined) return <p role="status">Asking …</p>;
  return <LiveValues entry={entry} at={known.at} tried={trial.values} />;
};

const Row = ({ known, entries }: { known: KeptInstrument; entries: BenchAnswer["entries"] }) => {
  const [shown, setShown] = useState<"values" | "line" | null>(null);
  const queries = useQueryClient();
  const check = useMutation({
    mutationFn: () => client.checkInstrument(known.name),
    onSuccess: () => queries.invalidateQueries({ queryKey: ["bench"] }),
  });
  const entry = entries.find((each) => each.entry === known.entry);
  const answered = atTime(known.answered);
  const why = whyNot(check.data, check.error);
  const toggle = (what: "values" | "line") => setShown(shown === what ? null : what);
  return (
    <li className={css.row}>
      <div className={css.state} role="status">
        <State usedBy={known.usedBy} asked={check.data} asking={check.isPending} />
      </div>
      <div className={css.about}>
        <h3 className={css.name}>{known.name}</h3>
        <p className={css.place}>
          {known.title ?? `entry ${known.entry}, no longer in the catalogue`} · <code>{known.at}</code>
        </p>
        <p className={parts.note}>
          “{known.said}”, last on{" "}
          <time dateTime={answered.iso} title={answered.utc}>
            {answered.text}
          </time>
          {known.usedBy !== null && `; run ${known.usedBy} has it now`}
        </p>
        {known.kit !== null && (
          <p className={parts.note}>
            in the kit: {known.kit.description}, serial {known.kit.serial}
            {known.kit.due !== null && `, due ${onDay(known.kit.due).text}`}
          </p>
        )}
      </div>
      <div className={css.acts}>
        <button
          type="button"
          className={parts.button}
          disabled={check.isPending || known.usedBy !== null || entry === undefined}
          onClick={() => {
            setShown(null);
            check.mutate();
          }}
        >
          Still there?<span className="unseen"> {known.name}</span>
        </button>
        <button
          type="button"
          className={parts.button}
          aria-expanded={shown === "values"}
          disabled={known.usedBy !== null || entry === undefined}
          onClick={() => toggle("values")}
        >
          Values<span className="unseen"> of {known.name}</span>
        </button>
        <button type="button" className={parts.button} aria-expanded={shown === "line"} onClick={() => toggle("line")}>
          Line for a job<span className="unseen">: {known.name}</span>
        </button>
        <LetGo name={known.name} />
      </div>
      {why !== null && (
        <p role="alert" className={`${parts.trouble} ${css.whole}`}>
          <TroubleShape />
          <span>{why}</span>
        </p>
      )}
      {shown === "values" && entry !== undefined && known.usedBy === null && (
        <div className={css.whole}>
          <Values known={known} entry={entry} />
        </div>
      )}
      {shown === "line" && (
        <div className={css.whole}>
          <JobLine known={known} />
        </div>
      )}
    </li>
  );
};

/** Nothing is kept yet: how one comes to a bench, also without an instrument. */
const Empty = () => (
  <section className={css.empty}>
    <h2>No instrument is set up yet. It takes a minute for each:</h2>
    <ol>
      <li>
        <span>
          Plug it in and switch it on, or learn with a simulated one: <code>bin/dwellpoint simulate --list</code> names
          them, <code>bin/dwellpoint simulate scpi-thermometer-readout</code> starts one and prints its address.
        </span>
      </li>
      <li>
        <span>Below, choose what it is and where it is. If the port is not known, Dwellpoint asks on all of them.</span>
      </li>
      <li>
        <span>
          See its values and give it a name. From then on a job that misses an instrument of its kind offers it before
          the start.
        </span>
      </li>
    </ol>
  </section>
);

export const KeptInstruments = ({ bench }: { bench: BenchAnswer }) =>
  bench.instruments.length === 0 ? (
    <Empty />
  ) : (
    <section aria-labelledby="kept">
      <h2 id="kept" className="unseen">
        Instruments that are set up
      </h2>
      <ul className={css.list}>
        {bench.instruments.map((known) => (
          <Row key={known.name} known={known} entries={bench.entries} />
        ))}
      </ul>
    </section>
  );
