import { TextInput } from "@mantine/core";
import { useState } from "react";
import type { ReadingsCheck, ReadingsQuestion } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape } from "../face/shapes.tsx";
import { nominal, plain } from "../figures/digits.ts";
import { passWords } from "../job/stops.ts";
import { elapsedSeconds, elapsedText } from "./elapsed.ts";
import css from "./readings-import.module.css";

type Marks = NonNullable<ReadingsQuestion["marks"]>;
type Mark = ReadingsCheck["marks"][number];

/** A time that is taken when the field is left, or with Enter. */
const Moment = ({ label, value, change }: { label: string; value: number; change: (seconds: number) => void }) => {
  const [text, setText] = useState<string | null>(null);
  const typed = text === null ? value : elapsedSeconds(text);
  const leave = (): void => {
    if (typed === null) return;
    setText(null);
    if (typed !== value) change(typed);
  };
  return (
    <TextInput
      aria-label={label}
      className={css.moment ?? ""}
      value={text ?? elapsedText(value)}
      error={typed === null ? "as h:mm:ss" : undefined}
      onChange={(event) => setText(event.currentTarget.value)}
      onBlur={leave}
      onKeyDown={(event) => {
        if (event.key === "Enter") leave();
      }}
    />
  );
};

const wordsFrom: Readonly<Record<ReadingsCheck["marksFrom"], string>> = {
  file: "The file itself says which readings count for which point.",
  found:
    "The file does not say which readings count for which point. These stretches were found: steady, and near the point.",
  given: "These stretches are as you set them.",
};

/** Which stretches of the record count for which point, to be looked at and corrected. */
export const PointWindows = ({
  check,
  setMarks,
}: {
  check: ReadingsCheck;
  setMarks: (marks: Marks | null) => void;
}) => {
  const { marks, missing } = check;
  const plainMarks = marks.map(({ pass, point, from, to }) => ({ pass, point, from, to }));
  const nameOf = ({ pass, temperature }: Pick<Mark, "pass" | "temperature">) =>
    `${nominal(temperature)} °C ${passWords[pass]}`;
  const change = (mark: Mark, to: { from?: number; to?: number }): void =>
    setMarks(
      plainMarks.map((each) => (each.pass === mark.pass && each.point === mark.point ? { ...each, ...to } : each)),
    );
  const leave = (mark: Mark): void =>
    setMarks(plainMarks.filter((each) => each.pass !== mark.pass || each.point !== mark.point));
  const add = ({ pass, point }: ReadingsCheck["missing"][number]): void => {
    const from = Math.max(0, ...marks.map((mark) => mark.to)) + 1;
    setMarks([...plainMarks, { pass, point, from, to: from + 60 }]);
  };
  return (
    <>
      <p className={parts.note}>
        {wordsFrom[check.marksFrom]} Times count from the first reading.
        {check.marksFrom === "given" && (
          <button type="button" className={parts.open} onClick={() => setMarks(null)}>
            Undo
          </button>
        )}
      </p>
      <div className={css.scroll} tabIndex={0} role="region" aria-label="Windows of the points">
        <table className={parts.table}>
          <thead>
            <tr>
              <th scope="col">point</th>
              <th scope="col">from</th>
              <th scope="col">to</th>
              <th scope="col" className={parts.figure}>
                readings
              </th>
              <th scope="col" className={parts.figure}>
                reference
              </th>
              <th scope="col" className={parts.after}>
                <span className="unseen">change</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {marks.map((mark) => (
              <tr key={`${mark.pass} ${mark.point}`}>
                <th scope="row">{nameOf(mark)}</th>
                <td>
                  <Moment label={`${nameOf(mark)}, from`} value={mark.from} change={(from) => change(mark, { from })} />
                </td>
                <td>
                  <Moment label={`${nameOf(mark)}, to`} value={mark.to} change={(to) => change(mark, { to })} />
                </td>
                <td className={parts.figure}>{mark.readings}</td>
                <td className={parts.figure}>{mark.reference === null ? "–" : `${plain(mark.reference, 2)} °C`}</td>
                <td className={parts.after}>
                  <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={() => leave(mark)}>
                    Leave out<span className="unseen"> {nameOf(mark)}</span>
                  </button>
                </td>
              </tr>
            ))}
            {missing.map((each) => (
              <tr key={`${each.pass} ${each.point}`}>
                <th scope="row">{nameOf(each)}</th>
                <td colSpan={4}>
                  <span className={parts.word}>
                    <CautionShape /> not in these readings; it will stand as skipped
                  </span>
                </td>
                <td className={parts.after}>
                  <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={() => add(each)}>
                    Say when<span className="unseen"> {nameOf(each)} was measured</span>
                  </button>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
};
