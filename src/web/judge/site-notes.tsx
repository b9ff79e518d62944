import type { ItemResult, Result } from "#contract";
import parts from "../face/parts.module.css";
import { nominal, placesFor, plain, signed } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import type { Origin } from "../origin/origin-drawer.tsx";
import css from "./judge-stage.module.css";

interface Note {
  readonly key: string;
  readonly text: string;
  readonly origin: readonly number[];
  readonly title: string;
}

/** Hysteresis, the closing check, loaded coefficients: what the day on site showed beside errors. */
const notesOf = (result: Result, item: ItemResult): Note[] => [
  ...item.passes.flatMap(({ pass, hysteresis = [], check }) => [
    ...hysteresis.map(({ nominal: at, difference, U }) => ({
      key: `${pass} ${at}`,
      text: `Hysteresis at ${nominal(at)} °C, ${passWords[pass]}: falling less rising ${signed(difference.value, placesFor(U))} K ± ${plain(U, placesFor(U))} K; half of it either way is in U.`,
      origin: difference.origin,
      title: `Hysteresis at ${nominal(at)} °C`,
    })),
    ...(check === undefined
      ? []
      : [{ key: `${pass} check`, text: check.statement, origin: check.origin, title: "First point repeated" }]),
  ]),
  ...(result.closingCheck === undefined
    ? []
    : [
        {
          key: "check",
          text: result.closingCheck.statement,
          origin: result.closingCheck.origin,
          title: "Closing check of the reference",
        },
      ]),
  ...(item.loaded === undefined
    ? []
    : [
        {
          key: "loaded",
          text: `New coefficients hold as left. ${item.loaded.reason}`,
          origin: item.loaded.origin,
          title: "New coefficients",
        },
      ]),
];

export const SiteNotes = ({
  result,
  item,
  open,
}: {
  result: Result;
  item: ItemResult;
  open: (origin: Origin) => void;
}) => {
  const notes = notesOf(result, item);
  if (notes.length === 0) return null;
  return (
    <section className={parts.section} aria-label="On site">
      <h2>On site</h2>
      <ul className={css.found}>
        {notes.map(({ key, text, origin, title }) => (
          <li key={key}>
            <span>{text}</span>
            <button
              type="button"
              className={parts.open}
              aria-label={`In the log: ${title}`}
              onClick={() =>
                open({ title, value: "", steps: [{ title: "What was found", words: text }], lines: origin })
              }
            >
              in the log
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
};
