import { useQuery } from "@tanstack/react-query";
import { Link } from "@tanstack/react-router";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape } from "../face/shapes.tsx";
import { questions } from "../station.ts";

/** Kit whose own calibration has run out or soon does: a job that needs it cannot be proved. Nothing where all is well. */
export const KitDue = () => {
  const { data } = useQuery(questions.kit);
  const due = (data?.entries ?? []).filter(({ state }) => state === "past" || state === "soon");
  if (due.length === 0) return null;
  return (
    <section aria-label="Kit that runs out">
      {due.map(({ kind, id, serial, description, due: day, state }) => (
        <p key={`${kind} ${id} ${serial}`} className={state === "past" ? parts.trouble : parts.caution}>
          {state === "past" ? <TroubleShape /> : <CautionShape />}
          <span>
            The calibration of the {kind} <Link to="/kit">{description}</Link> ({serial}){" "}
            {state === "past" ? `ran out on ${day}.` : `runs out on ${day}.`}
          </span>
        </p>
      ))}
    </section>
  );
};
