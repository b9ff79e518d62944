import type { RunView } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape } from "../face/shapes.tsx";
import { duration } from "../figures/clock.ts";
import css from "./measure-stage.module.css";

/** From so long before the source is switched off the page asks whether somebody is there, s. */
const warnBefore = 300;

/** Nobody seems to be there: said while there is still time to touch the page. */
export const RunSafety = ({ view }: { view: RunView }) => {
  const left = view.attention === null ? null : view.attention.until - view.at;
  if (left === null || left >= warnBefore) return null;
  return (
    <p className={`${parts.caution} ${css.hazard}`} role="alert">
      <CautionShape />
      <span>Is somebody there? Touch this page, or the source is switched off in {duration(Math.max(0, left))}.</span>
    </p>
  );
};
