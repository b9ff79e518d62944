import parts from "../face/parts.module.css";
import { CautionShape } from "../face/shapes.tsx";
import css from "./measure-stage.module.css";

/** What can hurt somebody now; said beside whatever the run is doing. */
export const Hazards = ({ cautions }: { cautions: readonly string[] }) => (
  <div>
    {cautions.map((caution) => (
      <p key={caution} className={`${parts.caution} ${css.hazard}`}>
        <CautionShape />
        <span>{caution}</span>
      </p>
    ))}
  </div>
);
