import type { ProposalAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, signed } from "../figures/digits.ts";
import css from "./kit-page.module.css";

type Difference = ProposalAnswer["differences"][number];

/** A text with everything from its first differing sign on marked. */
const Marked = ({ text, from }: { text: string | null; from: number }) =>
  text === null ? (
    <span className={css.absent}>nothing</span>
  ) : (
    <code>
      {text.slice(0, from)}
      {text.length > from && <mark className={css.changed}>{text.slice(from)}</mark>}
    </code>
  );

/** What a revision changes, digit by digit, and what new coefficients come to in mK. */
export const WhatChanges = ({
  differences,
  effects,
}: {
  differences: readonly Difference[];
  effects: ProposalAnswer["effects"];
}) => (
  <>
    <div className={css.wide} role="region" aria-label="What changes" tabIndex={0}>
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">figure</th>
            <th scope="col">before</th>
            <th scope="col">now</th>
          </tr>
        </thead>
        <tbody>
          {differences.map(({ path, before, after, from }) => (
            <tr key={path}>
              <th scope="row">{path}</th>
              <td>
                <Marked text={before} from={from} />
              </td>
              <td>
                <Marked text={after} from={from} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
    {effects.length > 0 && (
      <p>
        For the same signal it now reads{" "}
        {effects
          .map(
            ({ temperature, kelvin }) =>
              `${signed(kelvin * 1000, 2)} mK at ${nominal(Number(temperature.toFixed(2)))} °C`,
          )
          .join(", ")}
        .
      </p>
    )}
  </>
);
