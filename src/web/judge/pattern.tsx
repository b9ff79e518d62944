import { useQuery } from "@tanstack/react-query";
import { Fragment } from "react";
import type { DiagnosisAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape } from "../face/shapes.tsx";
import { chance, nominal, signed, typeset } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import { questions } from "../station.ts";
import css from "./pattern.module.css";

type Diagnosed = DiagnosisAnswer["items"][number];
type Suspicion = Diagnosed["suspicions"][number];

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

const Suspected = ({ suspicion, index }: { suspicion: Suspicion; index: number }) => (
  <li className={css.suspicion}>
    <p className={css.share}>
      {chance(suspicion.probability)} <small>{suspicion.sureness}</small>
    </p>
    <div>
      <p className={index === 0 ? css.first : undefined}>{capital(suspicion.words)}.</p>
      <dl className={css.advice}>
        {suspicion.check !== "" && (
          <Fragment>
            <dt>Check</dt>
            <dd>{suspicion.check}</dd>
          </Fragment>
        )}
        <dt>Two-minute test</dt>
        <dd>{suspicion.test}</dd>
      </dl>
    </div>
  </li>
);

const Next = ({ next }: { next: NonNullable<Diagnosed["next"]> }) => (
  <p className={css.next}>
    A point at {nominal(next.temperature)} °C would tell best:{" "}
    {next.expected.map(({ words, error }, index) => (
      <Fragment key={words}>
        {index > 0 && "; "}
        <strong>{signed(error, Math.abs(error) < 10 ? 2 : 0)} K</strong> if {typeset(words)}
      </Fragment>
    ))}
    .
  </p>
);

const OfPass = ({ diagnosed }: { diagnosed: Diagnosed }) => {
  const { pass, verdict, healthy, suspicions, together, next } = diagnosed;
  const others = suspicions.slice(Math.max(1, together));
  const shown = suspicions.slice(0, Math.max(1, together));
  return (
    <div className={css.pass}>
      <p className={css.lead}>
        {verdict === "suspected" ? <TroubleShape /> : <CautionShape />}
        <span>
          <strong>{capital(passWords[pass])}:</strong>{" "}
          {verdict === "unclear" && `it may be sound (${chance(healthy)}). `}
          {together > 1 ? "these points cannot tell apart what follows." : "one fault explains these points best."}
        </span>
      </p>
      <ol className={css.list}>
        {shown.map((suspicion, index) => (
          <Suspected key={`${suspicion.fault} ${suspicion.variant}`} suspicion={suspicion} index={index} />
        ))}
      </ol>
      {next !== null && <Next next={next} />}
      {next === null && together > 1 && (
        <p className={css.next}>No further temperature within reach would tell them apart; the two-minute tests do.</p>
      )}
      {others.length > 0 && (
        <details className={css.others}>
          <summary>Less likely</summary>
          <ol className={css.list}>
            {others.map((suspicion) => (
              <Suspected key={`${suspicion.fault} ${suspicion.variant}`} suspicion={suspicion} index={1} />
            ))}
          </ol>
        </details>
      )}
    </div>
  );
};

/** What the pattern of an item's errors may mean; nothing where nothing but an ordinary error is seen. */
export const Pattern = ({ run, item }: { run: string; item: string }) => {
  const { data } = useQuery(questions.diagnosis(run));
  const own = data?.items.filter((diagnosed) => diagnosed.item === item && diagnosed.verdict !== "nothing") ?? [];
  if (own.length === 0) return null;
  return (
    <section className={parts.section} aria-label="What this pattern may mean">
      <h2>What this pattern may mean</h2>
      <p className={parts.note}>
        Weighed from the errors and their uncertainty. It is advice: it decides nothing, and changes no figure.
      </p>
      {own.map((diagnosed) => (
        <OfPass key={diagnosed.pass} diagnosed={diagnosed} />
      ))}
    </section>
  );
};
