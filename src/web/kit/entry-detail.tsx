import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import { paths } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape } from "../face/shapes.tsx";
import { atTime } from "../figures/clock.ts";
import { nominal } from "../figures/digits.ts";
import { questions, wordsOf } from "../station.ts";
import css from "./kit-page.module.css";
import { Facts } from "./facts.tsx";
import { WhatChanges } from "./what-changes.tsx";

/** One kit entry: what holds now, and how it came to be so. */
export const EntryDetail = ({ id }: { id: string }) => {
  const { data, error, isPending } = useQuery(questions.kitEntry(id));
  if (isPending) return <p role="status">Asking the station …</p>;
  if (error !== null)
    return (
      <p role="alert" className={parts.trouble}>
        <TroubleShape />
        <span>{wordsOf(error)}</span>
      </p>
    );
  const { entry, facts, coefficients, uncertainty, k, check, revisions } = data;
  return (
    <section className={`${parts.section} ${css.detail}`} aria-label={entry.id}>
      <h2>{entry.id}</h2>
      <p>{entry.description}</p>
      <Facts facts={facts} />
      {coefficients.length > 0 && (
        <>
          <h3>Coefficients</h3>
          <Facts facts={coefficients.map(({ name, value }) => ({ label: name, text: value }))} code />
        </>
      )}
      {check !== null && (
        <p className={css.check}>
          {check.holds ? null : <TroubleShape />} {check.words}
        </p>
      )}
      {coefficients.length > 0 && check === null && (
        <p className={css.check}>
          <CautionShape /> No check values are recorded with these coefficients.
        </p>
      )}
      {uncertainty.length > 0 && (
        <>
          <h3>U of its calibration{k === null ? "" : `, k = ${k}`}</h3>
          <div className={css.wide} role="region" aria-label="U over temperature" tabIndex={0}>
            <table className={parts.table}>
              <tbody>
                <tr>
                  <th scope="row">°C</th>
                  {uncertainty.map(({ temperature }) => (
                    <td key={temperature}>{nominal(Number(temperature.toFixed(1)))}</td>
                  ))}
                </tr>
                <tr>
                  <th scope="row">mK</th>
                  {uncertainty.map(({ temperature, U }) => (
                    <td key={temperature}>{(U * 1000).toPrecision(3)}</td>
                  ))}
                </tr>
              </tbody>
            </table>
          </div>
        </>
      )}
      <p>
        <a className={parts.button} href={paths.kitLabel(entry.id)} target="_blank" rel="noreferrer">
          Label as PDF
        </a>{" "}
        <Link className={parts.button} to="/kit/$entry/upkeep" params={{ entry: entry.id }}>
          Tests and checks
        </Link>{" "}
        {entry.kind !== "source" && (
          <Link className={parts.button} to="/found-out">
            It was found out
          </Link>
        )}
      </p>
      <h3>Revisions</h3>
      <ol className={css.revisions} reversed>
        {revisions.map((revision) => {
          const saved = atTime(revision.saved);
          return (
            <li key={revision.revision}>
              <strong>Revision {revision.revision}</strong>,{" "}
              <time dateTime={saved.iso} title={saved.utc}>
                {saved.text}
              </time>
              , {revision.author}
              {revision.reason !== null && `: ${revision.reason}`}.
              {revision.certificate !== null && (
                <div className={parts.note}>
                  certificate {revision.certificate} of {revision.calibrated}, due {revision.due}
                </div>
              )}
              {revision.differences.length > 0 && (
                <details>
                  <summary>What it changed ({revision.differences.length})</summary>
                  <WhatChanges differences={revision.differences} effects={revision.effects} />
                </details>
              )}
            </li>
          );
        })}
      </ol>
    </section>
  );
};
