import type { SettlingView } from "#contract";
import { percent } from "../figures/digits.ts";
import css from "./measure-stage.module.css";

type Term = SettlingView["inTheWay"][number]["term"];

const words: Record<Term, string> = {
  lag: "lag: a probe still catches up",
  creep: "creep: a slow drift of the difference",
  noise: "noise of the readings",
  resolution: "resolution of the display",
  window: "window: not watched long enough yet",
  rule: "rule: the written procedure is not met yet",
};

/** Short bars of what the bound is still made of. */
export const InTheWay = ({ settling }: { settling: SettlingView | undefined }) => (
  <div className={css.way}>
    <h2>{settling?.ready === true ? "Nothing is in the way" : "Still in the way"}</h2>
    {settling === undefined && <p className={css.beneath}>nothing to judge at the moment</p>}
    {settling?.inTheWay.map(({ term, share }) => (
      <div key={term} className={css.term}>
        <span>{words[term]}</span>
        <span>{percent(share)}</span>
        <span className={css.rod} aria-hidden="true">
          <span style={{ width: `${Math.min(100, share * 100)}%` }} />
        </span>
      </div>
    ))}
  </div>
);
