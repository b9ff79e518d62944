import { useQuery } from "@tanstack/react-query";
import { lazy, Suspense, useEffect, useState } from "react";
import type { ItemResult, Job, MeasuredPoint, Pass, Result, ResultAnswer, RunSummary, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape, Verdict } from "../face/shapes.tsx";
import { nominal, placesFor, signed } from "../figures/digits.ts";
import type { Stage } from "../job/job-search.ts";
import { passWords, stopKey } from "../job/stops.ts";
import { OriginDrawer, type Origin } from "../origin/origin-drawer.tsx";
import { questions, wordsOf } from "../station.ts";
import { BudgetShares } from "./budget-shares.tsx";
import { ErrorPicture } from "./error-picture.tsx";
import css from "./judge-stage.module.css";
import { lineOrigin } from "./point-origin.ts";
import { Pattern } from "./pattern.tsx";
import { PointsTable } from "./points-table.tsx";
import { SiteNotes } from "./site-notes.tsx";
import { StopFigures } from "./stop-figures.tsx";
import { validationOf, ValidationState } from "./validation.tsx";

const SwitchJudgement = lazy(async () => ({ default: (await import("./switch-judgement.tsx")).SwitchJudgement }));

interface Placed {
  readonly pass: Pass;
  readonly point: MeasuredPoint;
}

const measuredOf = (item: ItemResult): Placed[] =>
  item.passes.flatMap(({ pass, points }) =>
    points.flatMap((point) => (point.status === "measured" ? [{ pass, point }] : [])),
  );

/** The stop to look at first: the chosen one, else the one nearest to its limit in the last pass. */
const lookAt = (item: ItemResult, chosen: Stop | null): Placed | null => {
  const all = measuredOf(item);
  const wanted = all.find(
    ({ pass, point }) => chosen !== null && stopKey({ pass, point: point.point }) === stopKey(chosen),
  );
  if (wanted !== undefined) return wanted;
  const last = all.filter(({ pass }) => pass === all.at(-1)?.pass);
  return (
    last.toSorted(
      (a, b) => (a.point.conformity?.conformanceProbability ?? 1) - (b.point.conformity?.conformanceProbability ?? 1),
    )[0] ?? null
  );
};

const Verdicts = ({ result, open }: { result: ItemResult; open: (origin: Origin) => void }) => {
  const { adjustment } = result;
  return (
    <div className={css.verdicts}>
      {result.passes.map(({ pass, decision }, index) => (
        <div key={pass} className={css.step}>
          {index > 0 && adjustment !== null && (
            <p className={parts.note}>
              adjusted:{" "}
              <button
                type="button"
                className={parts.open}
                onClick={() =>
                  open({
                    title: `Adjustment of ${result.tag}`,
                    value: `zero ${signed(adjustment.zero, placesFor(Math.abs(adjustment.zero)))} K`,
                    steps: [
                      {
                        title: "Between the passes",
                        words: `Zero ${signed(adjustment.zero, placesFor(Math.abs(adjustment.zero)))} K, span ${signed(adjustment.span, placesFor(Math.abs(adjustment.span)))} K, as it was confirmed.`,
                      },
                    ],
                    lines: adjustment.origin,
                  })
                }
              >
                zero {signed(adjustment.zero, placesFor(Math.abs(adjustment.zero)))} K, span{" "}
                {signed(adjustment.span, placesFor(Math.abs(adjustment.span)))} K
              </button>
            </p>
          )}
          <p className={css.verdict}>
            <small>{passWords[pass]}</small>
            <Verdict decision={decision} absent="nothing measured" />
          </p>
        </div>
      ))}
    </div>
  );
};

const Seen = ({ result, open }: { result: Result; open: (origin: Origin) => void }) =>
  result.faults.length + result.warnings.length === 0 ? null : (
    <section className={parts.section} aria-label="Faults and warnings">
      <h2>Seen during the run</h2>
      <ul className={css.seen}>
        {result.warnings.map((warning) => (
          <li key={warning}>
            <CautionShape />
            <span>{warning}</span>
          </li>
        ))}
        {result.faults.map((fault) => (
          <li key={`${fault.code} ${fault.origin.join()} ${fault.message}`}>
            <TroubleShape />
            <span>{fault.message}</span>
            <button
              type="button"
              className={parts.open}
              onClick={() =>
                open({
                  title: "A fault seen during the run",
                  value: fault.code,
                  steps: [{ title: "What was seen", words: fault.message }],
                  lines: fault.origin,
                })
              }
            >
              in the log
            </button>
          </li>
        ))}
      </ul>
    </section>
  );

const Judged = ({
  result,
  validation,
  job,
  item,
  chosen,
  chooseItem,
  choose,
  go,
}: {
  result: Result;
  validation: ResultAnswer["validation"];
  job: Job;
  item: string;
  chosen: Stop | null;
  chooseItem: (item: string) => void;
  choose: (stop: string) => void;
  go: (stage: Stage) => void;
}) => {
  const [origin, setOrigin] = useState<Origin | null>(null);
  const of = result.items.find((entry) => entry.item === item) ?? result.items[0];
  const described = job.items.find((entry) => entry.id === of?.item);
  const look = of === undefined ? null : lookAt(of, chosen);
  const key = look === null ? null : stopKey({ pass: look.pass, point: look.point.point });
  // The route above shows the same stop as the figures below, also when nobody has chosen one yet.
  const unchosen = chosen === null && key !== null;
  useEffect(() => {
    if (unchosen && key !== null) choose(key);
  }, [unchosen, key, choose]);
  if (of === undefined || described === undefined) return <p>The result has no item of this job.</p>;
  return (
    <div className={css.judge}>
      {result.items.length > 1 && (
        <div className={css.items} role="group" aria-label="Items">
          {result.items.map((entry) => (
            <button
              key={entry.item}
              type="button"
              className={css.itemTab}
              aria-pressed={entry.item === of.item}
              onClick={() => chooseItem(entry.item)}
            >
              {entry.tag} <Verdict decision={entry.passes.at(-1)?.decision ?? null} />
            </button>
          ))}
        </div>
      )}
      <Verdicts result={of} open={setOrigin} />
      {of.passes.some((pass) => pass.switch !== undefined) ? (
        <Suspense fallback={<p className={parts.note}>Drawing …</p>}>
          <SwitchJudgement result={of} open={setOrigin} />
        </Suspense>
      ) : (
        <>
          <ValidationState run={result.run} validation={validation} />
          <div className={css.top}>
            <ErrorPicture item={of} chosen={key} pick={choose} />
            {look !== null && (
              <StopFigures
                point={look.point}
                pass={look.pass}
                job={job}
                item={described}
                validation={validationOf(validation, { item: described.id, pass: look.pass, point: look.point.point })}
                open={setOrigin}
              />
            )}
          </div>
          {look !== null && (
            <BudgetShares
              point={look.point}
              open={(line) =>
                setOrigin({ ...lineOrigin(line), title: `${line.name}, ${nominal(look.point.nominal)} °C` })
              }
            />
          )}
          <PointsTable
            result={of}
            chosen={key}
            choose={choose}
            opening={{ job, item: described, open: setOrigin, validation }}
          />
          <Pattern run={result.run} item={of.item} />
        </>
      )}
      <SiteNotes result={result} item={of} open={setOrigin} />
      <Seen result={result} open={setOrigin} />
      <div className={css.onward}>
        <button type="button" className={`${parts.button} ${parts.main}`} onClick={() => go("issue")}>
          Go on to issue
        </button>
      </div>
      <OriginDrawer origin={origin} run={result.run} close={() => setOrigin(null)} />
    </div>
  );
};

/** What the readings mean: errors, decisions, and what the uncertainty is made of. */
export const JudgeStage = ({
  run,
  ...rest
}: {
  job: Job;
  run: RunSummary | null;
  item: string;
  chosen: Stop | null;
  chooseItem: (item: string) => void;
  choose: (stop: string) => void;
  go: (stage: Stage) => void;
}) => {
  const { data, error, isPending } = useQuery({ ...questions.result(run?.run ?? ""), enabled: run !== null });
  if (run === null) {
    return (
      <div className={css.judge}>
        <h2>There is nothing to judge yet.</h2>
        <p>Errors, their intervals and the decision stand here as soon as the first point is measured.</p>
        <p style={{ marginTop: "var(--step-4)" }}>
          <button type="button" className={`${parts.button} ${parts.main}`} onClick={() => rest.go("plan")}>
            Go to the plan
          </button>
        </p>
      </div>
    );
  }
  if (isPending)
    return (
      <p className={css.judge} role="status">
        Evaluating the log …
      </p>
    );
  if (error !== null) {
    return (
      <div className={css.judge}>
        <p className={parts.trouble} role="alert">
          <TroubleShape /> <span>{wordsOf(error)}</span>
        </p>
      </div>
    );
  }
  return <Judged result={data.result} validation={data.validation} {...rest} />;
};
