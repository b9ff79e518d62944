import { TextInput } from "@mantine/core";
import { useQuery, keepPreviousData } from "@tanstack/react-query";
import { useState } from "react";
import type { DayPlan as DayPlanAnswer, DayQuestion } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { questions, wordsOf } from "../station.ts";
import css from "./plan-stage.module.css";

const isClock = (text: string): boolean => /^([01]\d|2[0-3]):[0-5]\d$/.test(text);

type Entry = DayPlanAnswer["entries"][number];

const kindWords: Readonly<Record<Entry["kind"], string>> = {
  "set-up": "set up",
  point: "measure",
  pause: "break",
  cool: "cooling",
  "ice-check": "ice check",
  transport: "to carry",
  pack: "pack",
};

/** A strip of the day: where each entry lies between start and end. */
const Strip = ({ entry, from, to }: { entry: Entry; from: number; to: number }) => (
  <span className={css.strip} aria-hidden="true">
    <span
      className={css.piece}
      data-kind={entry.kind}
      style={{
        insetInlineStart: `${(100 * (entry.from - from)) / (to - from)}%`,
        width: `${Math.max(0.6, (100 * (entry.to - entry.from)) / (to - from))}%`,
      }}
    />
  </span>
);

const Timetable = ({ day }: { day: DayPlanAnswer }) => {
  const from = Math.min(...day.entries.map((entry) => entry.from));
  const to = Math.max(...day.entries.map((entry) => entry.to));
  return (
    <table className={`${parts.table} ${css.day}`}>
      <thead>
        <tr>
          <th scope="col">from</th>
          <th scope="col">to</th>
          <th scope="col">what</th>
          <th scope="col" className={css.stripHead}>
            {day.entries[0]?.start} to {day.finish}
          </th>
        </tr>
      </thead>
      <tbody>
        {day.entries.map((entry) => (
          <tr key={`${entry.from} ${entry.kind} ${entry.words}`}>
            <td>{entry.start}</td>
            <td>{entry.end}</td>
            <td>
              <span className={css.kind}>{kindWords[entry.kind]}</span> {entry.words}
            </td>
            <td>
              <Strip entry={entry} from={from} to={to} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
};

/** The visit with clock times, alone or with other jobs of the day. */
export const DayPlan = ({ job }: { job: string }) => {
  const [start, setStart] = useState("08:00");
  const [end, setEnd] = useState("");
  const [pause, setPause] = useState("12:00");
  const [others, setOthers] = useState<readonly string[]>([]);
  const { data: jobs } = useQuery(questions.jobs);
  const open = (jobs ?? []).filter((entry) => entry.job !== job && entry.stage === "plan");
  const valid = isClock(start) && (end === "" || (isClock(end) && end > start)) && (pause === "" || isClock(pause));
  const question: DayQuestion = {
    jobs: [job, ...others].join(","),
    start,
    ...(end === "" ? {} : { end }),
    ...(pause === "" ? {} : { pause }),
  };
  const { data, error } = useQuery({ ...questions.day(question), enabled: valid, placeholderData: keepPreviousData });
  const clock = (label: string, value: string, set: (text: string) => void, optional: boolean) => (
    <TextInput
      className={css.clock ?? ""}
      label={label}
      placeholder={optional ? "none" : "08:00"}
      value={value}
      error={(value === "" && optional) || isClock(value) ? undefined : "as HH:MM"}
      onChange={(event) => set(event.currentTarget.value.trim())}
    />
  );
  return (
    <section className={parts.section} aria-label="The day">
      <h2>The day</h2>
      <div className={css.asked}>
        {clock("Begin at", start, setStart, false)}
        {clock("Packed by", end, setEnd, true)}
        {clock("Break of 30 min at", pause, setPause, true)}
      </div>
      {open.length > 0 && (
        <fieldset className={css.others}>
          <legend>With these jobs on the same day</legend>
          {open.map((entry) => (
            <label key={entry.job}>
              <input
                type="checkbox"
                checked={others.includes(entry.job)}
                onChange={(event) =>
                  setOthers(
                    event.currentTarget.checked
                      ? [...others, entry.job]
                      : others.filter((other) => other !== entry.job),
                  )
                }
              />
              <span>
                {entry.title}, {entry.items.map(({ tag }) => tag).join(", ")}
              </span>
            </label>
          ))}
        </fieldset>
      )}
      {error !== null && (
        <p className={parts.trouble} role="alert">
          <TroubleShape />
          {wordsOf(error)}
        </p>
      )}
      {data !== undefined && (
        <>
          {[...data.leftOut.map(({ words }) => words), ...data.unready.map(({ message }) => message)].map((words) => (
            <p key={words} className={parts.trouble}>
              <TroubleShape />
              <span>{words}</span>
            </p>
          ))}
          {data.entries.length > 0 && <Timetable day={data} />}
          <p className={parts.note}>{data.assumptions.join(" ")}</p>
        </>
      )}
    </section>
  );
};
