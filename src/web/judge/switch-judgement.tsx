import { useState } from "react";
import type { ItemResult, PassResult, SwitchResult } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, Verdict } from "../face/shapes.tsx";
import { chance, plain, typeset, typesetError } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import type { Origin } from "../origin/origin-drawer.tsx";
import { Shares } from "./budget-shares.tsx";
import { lineOrigin } from "./point-origin.ts";
import css from "./switch-judgement.module.css";
import { SwitchPicture } from "./switch-picture.tsx";
import { allowedText, findingOrigin, findingsOf, lagWords, missingOf, type SwitchFinding } from "./switch-words.ts";

type Open = (origin: Origin) => void;

const Findings = ({
  findings,
  result,
  open,
}: {
  findings: readonly SwitchFinding[];
  result: SwitchResult;
  open: Open;
}) => (
  <div className={css.scroll}>
    <table className={`${parts.table} ${css.figures}`}>
      <thead>
        <tr>
          <th scope="col">action</th>
          {["measured", "deviation, K", "U, K", "k", "allowed", "risk"].map((head) => (
            <th key={head} scope="col" className={parts.figure}>
              {head}
            </th>
          ))}
          <th scope="col" className={parts.after}>
            decision
          </th>
        </tr>
      </thead>
      <tbody>
        {findings.map((finding) => (
          <tr key={finding.key}>
            <th scope="row">{finding.name}</th>
            <td className={parts.figure}>
              <button
                type="button"
                className={parts.open}
                onClick={() => open(findingOrigin(finding, result))}
                aria-label={`${finding.name} ${typeset(finding.reported.value)} ${finding.unit}: where it comes from`}
              >
                {typeset(finding.reported.value)} {finding.unit}
              </button>
            </td>
            <td className={parts.figure}>{finding.deviation === null ? "–" : typesetError(finding.deviation)}</td>
            <td className={parts.figure}>{finding.reported.U}</td>
            <td className={parts.figure}>{finding.reported.k}</td>
            <td className={parts.figure}>{allowedText(finding)}</td>
            <td className={parts.figure}>
              {finding.conformity?.specificRisk === undefined || finding.conformity.specificRisk === null
                ? "–"
                : chance(finding.conformity.specificRisk)}
            </td>
            <td className={parts.after}>
              <Verdict decision={finding.conformity?.decision ?? null} />
              {finding.conformity === null && finding.note !== null && <p className={parts.note}>{finding.note}</p>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  </div>
);

const sweepWords = {
  changed: "changed",
  "no-change": "did not change",
  flagged: "faulty",
  skipped: "left out",
  "not-measured": "not read",
} as const;

const Sweeps = ({ result, open }: { result: SwitchResult; open: Open }) => (
  <section className={parts.section} aria-label="Ramps">
    <h2>Every ramp, as it was read</h2>
    <div className={css.scroll}>
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">ramp</th>
            {["rate, K/min", "reference, °C", "between, s", "bounces"].map((head) => (
              <th key={head} scope="col" className={parts.figure}>
                {head}
              </th>
            ))}
            <th scope="col" className={parts.after}>
              contact
            </th>
          </tr>
        </thead>
        <tbody>
          {result.sweeps.map((sweep) => {
            const name = `${sweep.cycle} ${sweep.direction}`;
            return (
              <tr key={sweep.point}>
                <th scope="row">
                  <button
                    type="button"
                    className={parts.open}
                    onClick={() =>
                      open({
                        title: `Ramp ${name}`,
                        value:
                          sweep.temperature === null
                            ? sweepWords[sweep.status]
                            : `${plain(sweep.temperature.value, 3)} °C`,
                        steps: [
                          {
                            title: "What the contact did",
                            words: sweep.reason ?? "Changed between the two readings that the log names.",
                          },
                        ],
                        lines: sweep.temperature?.origin ?? sweep.origin,
                      })
                    }
                  >
                    {name}
                  </button>
                </th>
                <td className={parts.figure}>{sweep.rate === null ? "–" : plain(Math.abs(sweep.rate), 2)}</td>
                <td className={parts.figure}>{sweep.temperature === null ? "–" : plain(sweep.temperature.value, 3)}</td>
                <td className={parts.figure}>
                  {sweep.bracket === null ? "–" : plain(sweep.bracket.to - sweep.bracket.from, 0)}
                </td>
                <td className={parts.figure}>{sweep.status === "changed" ? sweep.bounces : "–"}</td>
                <td className={parts.after}>
                  {sweepWords[sweep.status]}
                  {sweep.reason !== null && <p className={parts.note}>{sweep.reason}</p>}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  </section>
);

const OnePass = ({ pass, result, open }: { pass: PassResult["pass"]; result: SwitchResult; open: Open }) => {
  const findings = findingsOf(pass, result);
  const [key, choose] = useState<string | null>(null);
  const chosen = findings.find((finding) => finding.key === key) ?? findings[0];
  const missing = missingOf(result);
  return (
    <>
      {findings.length > 0 && <SwitchPicture findings={findings} sweeps={result.sweeps} />}
      <section className={parts.section} aria-label="Trip, reset and dead band">
        <h2>Trip, reset and dead band, {passWords[pass]}</h2>
        {findings.length > 0 && <Findings findings={findings} result={result} open={open} />}
        {missing.map((words) => (
          <p key={words} className={parts.caution}>
            <CautionShape /> <span>{words}</span>
          </p>
        ))}
        <p className={parts.note}>{lagWords(result)}</p>
      </section>
      {chosen !== undefined && (
        <>
          <div className={css.chooser} role="group" aria-label="Budget of">
            {findings.map((finding) => (
              <button
                key={finding.key}
                type="button"
                className={css.tab}
                aria-pressed={finding.key === chosen.key}
                onClick={() => choose(finding.key)}
              >
                {finding.name}
              </button>
            ))}
          </div>
          <Shares
            heading={`What U is made of: ${chosen.name}`}
            budget={chosen.budget}
            reported={chosen.reported}
            open={(line) => open({ ...lineOrigin(line), title: `${line.name}, ${chosen.name}` })}
          />
        </>
      )}
      <Sweeps result={result} open={open} />
    </>
  );
};

/** What the ramps of a switch mean: where it opens and closes, its dead band, each against what is allowed. */
export const SwitchJudgement = ({ result, open }: { result: ItemResult; open: Open }) => (
  <>
    {result.passes.map((pass) =>
      pass.switch === undefined ? null : <OnePass key={pass.pass} pass={pass.pass} result={pass.switch} open={open} />,
    )}
  </>
);
