import { useQuery } from "@tanstack/react-query";
import { Link, useParams } from "@tanstack/react-router";
import { useEffect, useState } from "react";
import type { KitUpkeep, UpkeepFinding } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { atTime } from "../figures/clock.ts";
import { questions, wordsOf } from "../station.ts";
import { ApproveFinding } from "./approve-finding.tsx";
import { ControlChart } from "./control-chart.tsx";
import { FindingView } from "./finding-view.tsx";
import { GuidedTest } from "./guided-test.tsx";
import css from "./upkeep-page.module.css";

const Finding = ({
  finding,
  title,
  entry,
  open,
}: {
  finding: UpkeepFinding;
  title: string;
  entry: KitUpkeep["entry"];
  open: boolean;
}) => {
  const made = atTime(finding.at);
  return (
    <li className={css.finding}>
      <details open={open}>
        <summary>
          <strong>{title}</strong>,{" "}
          <time dateTime={made.iso} title={made.utc}>
            {made.text}
          </time>
          , {finding.by}
          {finding.approved !== null && `; approved as revision ${finding.approved}`}
        </summary>
        <FindingView finding={finding} />
        {finding.approved === null && finding.number !== null && finding.changes.length > 0 && !finding.rehearsal && (
          <ApproveFinding entry={entry} finding={finding.number} />
        )}
      </details>
    </li>
  );
};

const Known = ({ upkeep }: { upkeep: KitUpkeep }) => {
  const { entry, findings, charts, tests } = upkeep;
  const titleOf = (kind: UpkeepFinding["kind"]): string => tests.find((test) => test.kind === kind)?.title ?? kind;
  return (
    <>
      {charts.map(({ point, chart, allowance }) => (
        <section key={point} className={parts.section} aria-label={`Control chart, ${point}`}>
          <h2>Checks at the {point}</h2>
          <ControlChart chart={chart} allowance={allowance} point={point} />
        </section>
      ))}
      <section className={parts.section} aria-label="Tests">
        <h2>Tests</h2>
        {findings.length === 0 ? (
          <p>
            No test of {entry.id} is recorded yet. Each is guided step by step; what it finds is shown before anything
            of the kit is changed, and stays here for the chart.
          </p>
        ) : (
          <ol className={css.findings}>
            {findings.map((finding, index) => (
              <Finding
                key={finding.number}
                finding={finding}
                title={titleOf(finding.kind)}
                entry={entry}
                open={index === 0}
              />
            ))}
          </ol>
        )}
      </section>
    </>
  );
};

/** A kit entry's own proof: its tests with their chart, a new one by hand, and what of it becomes the next revision. */
export const UpkeepPage = () => {
  const { entry: id } = useParams({ from: "/kit/$entry/upkeep" });
  const { data, error, isPending } = useQuery(questions.kitUpkeep(id));
  const [begun, setBegun] = useState<UpkeepFinding["kind"] | null>(null);
  useEffect(() => {
    document.title = `Upkeep of ${id} · Dwellpoint`;
  }, [id]);
  const test = data?.tests.find(({ kind }) => kind === begun);
  return (
    <Page>
      <div className={css.head}>
        <p>
          <Link to="/kit">Kit</Link>
        </p>
        <h1>Upkeep of {id}</h1>
        {data !== undefined && (
          <p className={parts.note}>
            {data.entry.description}, {data.entry.serial}, revision {data.entry.revision}
          </p>
        )}
      </div>
      {isPending && <p role="status">Asking the station …</p>}
      {error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(error)}</span>
        </p>
      )}
      {data?.tests.length === 0 && <p>There is no test of a {data.entry.kind} here.</p>}
      {data !== undefined && test === undefined && data.tests.length > 0 && (
        <section className={parts.section} aria-label="Start a test">
          <h2>Start a test by hand</h2>
          <div className={css.tests}>
            {data.tests.map(({ kind, title }) => (
              <button key={kind} type="button" className={parts.button} onClick={() => setBegun(kind)}>
                {title}
              </button>
            ))}
          </div>
        </section>
      )}
      {test !== undefined && <GuidedTest key={test.kind} entry={id} test={test} close={() => setBegun(null)} />}
      {data !== undefined && <Known upkeep={data} />}
    </Page>
  );
};
