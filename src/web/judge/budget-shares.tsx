import type { MeasuredPoint, ResultBudget, ResultBudgetLine } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, percent, placesFor, plain } from "../figures/digits.ts";
import css from "./judge-stage.module.css";

const styleOf = ({ id }: ResultBudgetLine): string => {
  if (id.startsWith("reference") || id.includes(".reference")) return css.fromReference ?? "";
  if (id.startsWith("source")) return css.fromSource ?? "";
  if (id.startsWith("item") || id.startsWith("switch") || id.startsWith("readout.item")) return css.fromItem ?? "";
  return "";
};

/** The budget of one stop as shares of u², the largest first; each line opens where it stands. */
export const BudgetShares = ({ point, open }: { point: MeasuredPoint; open: (line: ResultBudgetLine) => void }) => (
  <Shares
    heading={`What U is made of at ${nominal(point.nominal)} °C`}
    budget={point.budget}
    reported={point.reported}
    open={open}
  />
);

/** A budget as shares of u², under a heading of its own. */
export const Shares = ({
  heading,
  budget,
  reported,
  open,
}: {
  heading: string;
  budget: ResultBudget;
  reported: { readonly k: string; readonly U: string };
  open: (line: ResultBudgetLine) => void;
}) => {
  const lines = budget.lines.toSorted((a, b) => b.share - a.share);
  const most = lines[0]?.share ?? 1;
  return (
    <section className={parts.section} aria-label="Budget">
      <h2>{heading}</h2>
      <p className={css.sum}>
        u = {plain(budget.u, placesFor(budget.u, 5))} K from {lines.length} lines; k = {reported.k}, U = {reported.U} K.
        Bars are shares of u²; blue from the reference, orange hatched from the item, grey striped from the source.
      </p>
      <div className={css.budget}>
        {lines.map((line) => (
          <button
            key={line.id}
            type="button"
            className={css.line}
            onClick={() => open(line)}
            title="where this line comes from"
          >
            <span>{line.name}</span>
            <span className={css.bar} aria-hidden="true">
              <span className={styleOf(line)} style={{ width: `${(line.share / most) * 100}%` }} />
            </span>
            <span className={css.number}>{plain(line.contribution, placesFor(line.contribution, 5))} K</span>
            <span className={css.number}>{percent(line.share)}</span>
          </button>
        ))}
      </div>
    </section>
  );
};
