import { useQuery } from "@tanstack/react-query";
import { lazy, Suspense, useState } from "react";
import parts from "../face/parts.module.css";
import { questions, wordsOf } from "../station.ts";
import css from "./origin.module.css";

const Readings = lazy(async () => ({ default: (await import("./readings.tsx")).Readings }));

type LogLine = Readonly<Record<string, unknown>>;

const few = 12;

const numbersIn = (line: LogLine, field: string): number[] => {
  const value = line[field];
  return Array.isArray(value) ? value.filter((entry) => typeof entry === "number") : [];
};

const headline = (line: LogLine): string => {
  const kind = String(line["kind"] ?? "line").replaceAll("-", " ");
  const channel = typeof line["channel"] === "string" ? `, ${line["channel"]}` : "";
  const count = numbersIn(line, "values").length;
  const at = typeof line["at"] === "number" ? `, at ${Math.round(line["at"])} s` : "";
  return `${kind}${channel}${count > 0 ? `, ${count} readings` : ""}${at}`;
};

/** Long job texts inside a line are not what one looks for here. */
const shorten = (line: LogLine): LogLine =>
  line["kind"] === "run-opened" ? { ...line, job: "… see the plan", catalog: "…" } : line;

/** Lines of the log by number, as they were written; the first few, and more on asking. */
export const Events = ({ run, numbers }: { run: string; numbers: readonly number[] }) => {
  const [shown, setShown] = useState(few);
  const wanted = numbers.slice(0, shown);
  const { data, error, isPending } = useQuery(questions.events(run, wanted));
  if (isPending) return <p role="status">Fetching the lines …</p>;
  if (error !== null) return <p role="alert">{wordsOf(error)}</p>;
  const blocks = data.events.filter((line) => line["kind"] === "readings-taken");
  return (
    <>
      {blocks.length > 0 && (
        <Suspense fallback={null}>
          <Readings
            blocks={blocks.map((line) => ({
              channel: String(line["channel"]),
              unit: String(line["unit"]),
              times: numbersIn(line, "times"),
              values: numbersIn(line, "values"),
            }))}
          />
        </Suspense>
      )}
      {data.events.map((line) => (
        <details key={String(line["n"])} className={css.event}>
          <summary>
            <strong>{String(line["n"])}</strong> {headline(line)}
          </summary>
          <pre tabIndex={0}>{JSON.stringify(shorten(line), null, 1)}</pre>
        </details>
      ))}
      {numbers.length > shown && (
        <button type="button" className={parts.button} onClick={() => setShown(shown + 50)}>
          Show {Math.min(50, numbers.length - shown)} of {numbers.length - shown} more lines
        </button>
      )}
    </>
  );
};
