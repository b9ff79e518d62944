import { useMutation, useQueryClient } from "@tanstack/react-query";
import type { MeasuredPoint, Pass, PointValidation, ResultAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, placesFor, plain, signed } from "../figures/digits.ts";
import type { Origin } from "../origin/origin-drawer.tsx";
import { CautionShape } from "../face/shapes.tsx";
import { passWords } from "../job/stops.ts";
import { client, questions } from "../station.ts";
import css from "./judge-stage.module.css";

type Validation = ResultAnswer["validation"];

/** What Monte Carlo says of one point; undefined while nobody has asked it. */
export const validationOf = (
  { points }: Validation,
  place: { item: string; pass: Pass; point: number },
): PointValidation | undefined =>
  points.find(({ item, pass, point }) => item === place.item && pass === place.pass && point === place.point);

/** In two or three words whether the stated interval holds. */
export const validationWords = (validation: PointValidation): string => {
  if (validation.status === "not-validated") return "not validated";
  if (validation.side === "too-narrow") return "U is too small";
  if (validation.side === "too-wide") return "U is on the safe side";
  return validation.check.agreement === "agrees" ? "agrees" : "not decided";
};

/** Whether somebody ought to look at it before issue. */
export const isDisputed = (validation: PointValidation | undefined): boolean =>
  validation?.status === "validated" && validation.side === "too-narrow";

/** One digit more than U is reported with: what differs is often less than a digit of it. */
const interval = ([low, high]: readonly [number, number], U: number): string => {
  const places = placesFor(U / 10, 6);
  return `${signed(low, places)} K to ${signed(high, places)} K`;
};

/** Both intervals of a point, and what the comparison says. */
export const validationOrigin = (point: MeasuredPoint, validation: PointValidation): Origin => {
  const title = `U at ${nominal(point.nominal)} °C by Monte Carlo`;
  const value = validationWords(validation);
  if (validation.status === "not-validated")
    return { title, value, steps: [{ title: "Why not", words: validation.reason }], lines: [] };
  const { check, monteCarlo, words } = validation;
  return {
    title,
    value,
    steps: [
      { title: "The comparison", words },
      { title: "By propagation, e ± U", words: interval(check.interval, point.budget.U) },
      {
        title: "By Monte Carlo, through the sensors' own equations",
        words: `${interval(monteCarlo.interval, point.budget.U)}; u = ${plain(monteCarlo.u, placesFor(monteCarlo.u, 5))} K from ${monteCarlo.trials} trials, seed ${monteCarlo.seed}. The same log gives the same digits.`,
      },
    ],
    lines: [],
  };
};

/** Under the table of points: where Monte Carlo agrees with the stated U, and where it does not, a mark with it where U is too small. */
export const ValidationSummary = ({ item, validation }: { item: string; validation: Validation }) => {
  const own = validation.points.filter((point) => point.item === item);
  if (own.length === 0) return null;
  const words = [...new Set(own.map(validationWords))];
  return (
    <div className={css.validation}>
      <p>U by Monte Carlo (JCGM 101, clause 8)</p>
      {words.map((each) => {
        const points = own.filter((point) => validationWords(point) === each);
        return (
          <p key={each}>
            {points.some(isDisputed) && <CautionShape />} {each}:{" "}
            {points.map(({ pass, nominal: at }) => `${nominal(at)} °C ${passWords[pass]}`).join(", ")}
          </p>
        );
      })}
    </div>
  );
};

/** How far the validation has come, and the way to stop it or to begin it anew. Nothing once it is done. */
export const ValidationState = ({ run, validation }: { run: string; validation: Validation }) => {
  const queries = useQueryClient();
  const ask = useMutation({
    mutationFn: (again: boolean) => (again ? client.validate(run) : client.cancelValidation(run)),
    onSuccess: () => queries.invalidateQueries({ queryKey: questions.result(run).queryKey }),
  });
  const { state, done, of } = validation;
  if (state === "done" || state === "open" || of === 0) return null;
  const running = state === "running";
  return (
    <p className={parts.note} role="status">
      {running
        ? `Monte Carlo validates U at each point: ${done} of ${of} done.`
        : "The validation of U by Monte Carlo was cancelled."}{" "}
      <button type="button" className={parts.open} disabled={ask.isPending} onClick={() => ask.mutate(!running)}>
        {running ? "Cancel it" : "Validate now"}
      </button>
    </p>
  );
};
