import { useQuery } from "@tanstack/react-query";
import { useState } from "react";
import type { KitComparisonAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape, VerdictShape } from "../face/shapes.tsx";
import { chance, nominal, placesFor, plain } from "../figures/digits.ts";
import { questions, wordsOf } from "../station.ts";
import { minutesText } from "./minutes.ts";
import { entryWords } from "./words.ts";
import css from "./plan-stage.module.css";

const Row = ({ kit }: { kit: KitComparisonAnswer["kits"][number] }) => {
  const { worst } = kit;
  return (
    <tr>
      <th scope="row">
        <strong>{kit.name}</strong>
        <span className={`${css.under} ${kit.goodEnough ? parts.pass : parts.fail}`}>
          <VerdictShape decision={kit.goodEnough ? "pass" : "fail"} />{" "}
          {kit.goodEnough ? "good enough" : "not good enough"}
        </span>
      </th>
      <td className={parts.figure}>
        {worst === null ? "–" : `${plain(worst.expectedU, placesFor(worst.expectedU))} K`}
        {worst !== null && <span className={css.under}>at {nominal(worst.temperature)} °C</span>}
      </td>
      <td className={parts.figure}>{worst === null ? "–" : `${plain(worst.ratio, 1)} : 1`}</td>
      <td className={parts.figure}>{worst?.consumerRisk == null ? "–" : chance(worst.consumerRisk)}</td>
      <td className={`${parts.figure} ${css.brief}`}>{minutesText(kit.seconds)}</td>
      <td className={parts.after}>
        {worst?.limiting == null ? "–" : `limited by the ${entryWords[worst.limiting.entry]}`}
        <span className={css.under}>{kit.words}</span>
      </td>
    </tr>
  );
};

/** The same job with the other kits that the station knows; worked out only when it is asked for. */
export const KitComparison = ({ job }: { job: string }) => {
  const [asked, setAsked] = useState(false);
  const { data, error, isFetching } = useQuery({ ...questions.kits(job), enabled: asked });
  return (
    <section className={parts.section} aria-label="Other kits">
      <h2>Other kits</h2>
      {data === undefined && (
        <button type="button" className={parts.button} disabled={isFetching} onClick={() => setAsked(true)}>
          {isFetching ? "Comparing …" : "Compare with other kits"}
        </button>
      )}
      {error !== null && (
        <p className={parts.trouble} role="alert">
          <TroubleShape />
          {wordsOf(error)}
        </p>
      )}
      {data !== undefined &&
        (data.kits.length < 2 ? (
          <p>The station knows no other kit for this job.</p>
        ) : (
          <>
            <p>{data.words}</p>
            <div className={css.wide}>
              <table className={parts.table}>
                <thead>
                  <tr>
                    <th scope="col">kit</th>
                    <th scope="col" className={parts.figure}>
                      expected U, hardest point
                    </th>
                    <th scope="col" className={parts.figure}>
                      tolerance over U
                    </th>
                    <th scope="col" className={parts.figure}>
                      risk of a wrong pass
                    </th>
                    <th scope="col" className={parts.figure}>
                      time in all
                    </th>
                    <th scope="col" className={parts.after}>
                      why
                    </th>
                  </tr>
                </thead>
                <tbody>
                  {data.kits.map((kit) => (
                    <Row key={kit.name} kit={kit} />
                  ))}
                </tbody>
              </table>
            </div>
          </>
        ))}
    </section>
  );
};
