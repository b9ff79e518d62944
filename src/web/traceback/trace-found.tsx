import { TextInput } from "@mantine/core";
import { Link } from "@tanstack/react-router";
import { useState } from "react";
import { paths, type MovedResult, type Trace, type TracedRun, type TraceState } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape, Verdict } from "../face/shapes.tsx";
import { atTime } from "../figures/clock.ts";
import { nominal, percent, placesFor, plain, signed } from "../figures/digits.ts";
import css from "./trace-page.module.css";

const passWords: Readonly<Record<MovedResult["pass"], string>> = { "as-found": "as found", "as-left": "as left" };
const whatWords: Readonly<Record<MovedResult["what"], string>> = { error: "", trip: "trip, ", reset: "reset, " };

const Count = ({ value, words, alarming = false }: { value: number; words: string; alarming?: boolean }) => (
  <div className={css.count} data-alarming={alarming && value > 0}>
    <strong>{value}</strong>
    <span>{words}</span>
  </div>
);

const Moved = ({ result }: { result: MovedResult }) => {
  const { before, after, moved, share, statement, act, reason } = result;
  const places = placesFor(before.U);
  return (
    <tr data-act={act}>
      <td>
        {act && <TroubleShape />} {result.tag}
        <div className={parts.note}>
          {whatWords[result.what]}
          {passWords[result.pass]}
        </div>
      </td>
      <td className={parts.figure}>{nominal(result.nominal)} °C</td>
      <td className={parts.figure}>
        {signed(before.error, places)} <span className={parts.note}>± {plain(before.U, places)}</span>
      </td>
      <td className={parts.figure}>
        {after === null ? "–" : signed(after.error, places)}{" "}
        {after !== null && <span className={parts.note}>± {plain(after.U, places)}</span>}
      </td>
      <td className={css.share}>
        {share === null ? (
          <span className={parts.note}>{reason}</span>
        ) : (
          <>
            <span className={css.bar} aria-hidden="true">
              <span style={{ width: `${Math.min(100, share * 100)}%` }} />
            </span>
            {signed(moved!, places)} K, {percent(share)} of U
          </>
        )}
      </td>
      <td>
        <Verdict decision={before.decision} absent="none" />
        {statement !== "stands" && (
          <div className={css.becomes}>
            becomes <Verdict decision={after?.decision ?? null} absent="none" />
          </div>
        )}
      </td>
    </tr>
  );
};

const Run = ({ run, all }: { run: TracedRun; all: boolean }) => {
  const shown = all ? run.results : run.results.filter(({ act }) => act);
  if (shown.length === 0) return null;
  const opened = atTime(run.opened);
  return (
    <section className={css.run} aria-label={`Run ${run.run}`}>
      <h3>
        <Link to="/jobs/$job" params={{ job: run.job }} search={{ stage: "judge", run: run.run }}>
          {run.title}
        </Link>
      </h3>
      <p className={parts.note}>
        <time dateTime={opened.iso} title={opened.utc}>
          {opened.text}
        </time>
        {" · "}
        {run.customer.name}, {run.place} · corrected by {percent(run.applied)} of it
        {run.certificates.map((number) => (
          <span key={number}>
            {" · certificate "}
            <Link to="/certificates" search={{ find: number }}>
              {number}
            </Link>
          </span>
        ))}
        {run.generation > 0 && ` · measured with ${run.through}`}
      </p>
      <div className={css.wide}>
        <table className={parts.table}>
          <thead>
            <tr>
              <th scope="col">item</th>
              <th scope="col" className={parts.figure}>
                at
              </th>
              <th scope="col" className={parts.figure}>
                error as stated, K
              </th>
              <th scope="col" className={parts.figure}>
                error now, K
              </th>
              <th scope="col">moved</th>
              <th scope="col">statement</th>
            </tr>
          </thead>
          <tbody>
            {shown.map((result) => (
              <Moved key={`${result.item} ${result.pass} ${result.what} ${result.nominal}`} result={result} />
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
};

const ToTell = ({ trace }: { trace: Trace }) => (
  <section className={parts.section} aria-label="To be told">
    <h2>To be told</h2>
    {trace.toTell.length === 0 ? (
      <p>Nobody: no statement changes, and nothing moves by more than the share that counts.</p>
    ) : (
      <ul className={css.tell}>
        {trace.toTell.map(({ customer, contact, runs, certificates, changes }) => (
          <li key={customer}>
            <strong>{customer}</strong>
            {contact !== null && `, ${contact}`}: {changes} changed {changes === 1 ? "statement" : "statements"} in{" "}
            {runs.length} {runs.length === 1 ? "run" : "runs"}
            {certificates.length > 0 && `; certificates ${certificates.join(", ")}`}
          </li>
        ))}
      </ul>
    )}
    {trace.descendants.map(({ entry, serial, certificate }) => (
      <p key={`${entry} ${certificate}`}>
        The reference <strong>{serial}</strong> ({entry}) was calibrated with it, certificate {certificate}: what it
        measured since is in the list.
      </p>
    ))}
    {trace.unreadable.map(({ run, fault }) => (
      <p key={run} className={parts.trouble} role="alert">
        <TroubleShape />
        <span>
          Run {run} could not be evaluated: {fault.message}
        </span>
      </p>
    ))}
  </section>
);

const Keep = ({ state, keep }: { state: TraceState; keep: (by: string) => void }) => {
  const [by, setBy] = useState("");
  if (state.kept !== null) return <p role="status">Kept in the records as finding {state.kept} of the suspect.</p>;
  return (
    <form
      className={css.keep}
      onSubmit={(event) => {
        event.preventDefault();
        if (by.trim() !== "") keep(by.trim());
      }}
    >
      <TextInput
        label="Kept by"
        placeholder="your name"
        value={by}
        onChange={(event) => setBy(event.currentTarget.value)}
      />
      <button type="submit" className={parts.button} disabled={by.trim() === ""}>
        Keep in the records
      </button>
      <a className={parts.button} href={paths.traceList(state.trace)} download>
        List as CSV
      </a>
    </form>
  );
};

/** What moved: the counts, who must be told, then run by run, the urgent first. */
export const TraceFound = ({ state, trace, keep }: { state: TraceState; trace: Trace; keep: (by: string) => void }) => {
  const [all, setAll] = useState(false);
  const { count } = trace;
  const hidden = count.results - count.act;
  return (
    <>
      <section className={parts.section} aria-label="What moves" aria-live="polite">
        <h2>
          {count.results === 0
            ? "Nothing was measured with it since."
            : `${count.results} results of ${count.runs} ${count.runs === 1 ? "run" : "runs"} evaluated again`}
        </h2>
        {count.results > 0 && (
          <div className={css.counts}>
            <Count value={count.changes} words="statements change" alarming />
            <Count value={count.cannotTell} words="cannot be told any more" alarming />
            <Count value={count.act} words="to be acted upon" />
            <Count value={count.stands} words="statements stand" />
          </div>
        )}
        {count.results > 0 && <Keep state={state} keep={keep} />}
      </section>
      {count.results > 0 && <ToTell trace={trace} />}
      {count.results > 0 && (
        <section className={parts.section} aria-label="Result by result">
          <div className={css.listHead}>
            <h2>Result by result</h2>
            {hidden > 0 && (
              <label className={css.choice}>
                <input type="checkbox" checked={all} onChange={(event) => setAll(event.currentTarget.checked)} />
                <span>the {hidden} too that need nothing</span>
              </label>
            )}
          </div>
          {count.act === 0 && !all && <p>None needs anything.</p>}
          {trace.runs.map((run) => (
            <Run key={`${run.run} ${run.through}`} run={run} all={all} />
          ))}
        </section>
      )}
    </>
  );
};
