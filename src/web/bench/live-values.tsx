import { NativeSelect, TextInput } from "@mantine/core";
import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import type { InstrumentQuestion, InstrumentValue } from "#contract";
import parts from "../face/parts.module.css";
import { ContactShape, TroubleShape } from "../face/shapes.tsx";
import { typeset } from "../figures/digits.ts";
import { useNow } from "../live/use-now.ts";
import { client, wordsOf } from "../station.ts";
import css from "./bench-page.module.css";
import type { Entry } from "./suggested-addresses.ts";
import { unitShown } from "./unit-shown.ts";
import { useLiveValues } from "./use-live-values.ts";

const Trouble = ({ words }: { words: string }) => (
  <p role="alert" className={parts.trouble}>
    <TroubleShape />
    <span>{words}</span>
  </p>
);

const Figure = ({ value }: { value: InstrumentValue }) => {
  if (value.value === null) return <span className={css.none}>no value</span>;
  if (value.unit !== "contact")
    return (
      <>
        {typeset(String(value.value))} <span className={css.unit}>{value.unit}</span>
      </>
    );
  return (
    <>
      <ContactShape closed={value.value === 1} /> {value.value === 1 ? "closed" : "open"}
    </>
  );
};

const Values = ({ values }: { values: readonly InstrumentValue[] }) => (
  <dl className={css.values}>
    {values.map((value) => (
      <div key={`${value.unit} ${value.input}`}>
        <dt>
          {value.unit}, input {value.input}
        </dt>
        <dd className={css.figure}>
          <Figure value={value} />
        </dd>
        {value.fault !== null && <dd className={css.why}>{value.fault.message}</dd>}
      </div>
    ))}
  </dl>
);

/** Switching a source off: the only thing that is ever commanded from the bench page. */
const SwitchOff = ({ entry, at, done }: { entry: string; at: string; done: () => void }) => {
  const off = useMutation({ mutationFn: () => client.switchInstrumentOff({ entry, at }), onSettled: done });
  return (
    <div className={css.off}>
      <button
        type="button"
        className={`${parts.button} ${parts.danger}`}
        disabled={off.isPending}
        onClick={() => off.mutate()}
      >
        {off.isPending ? "Switching off …" : "Switch its output off"}
      </button>
      <p className={parts.note} role="status">
        {off.data?.off === true
          ? "It is off: the source itself says so. It may still be hot."
          : "Nothing else is ever commanded from this page."}
      </p>
      {off.data?.fault != null && <Trouble words={off.data.fault.message} />}
      {off.error !== null && <Trouble words={wordsOf(off.error)} />}
    </div>
  );
};

const age = (heardAt: number | null, now: number): string => {
  if (heardAt === null) return "Waiting for the first values …";
  const seconds = Math.max(0, Math.round((now - heardAt) / 1000));
  return seconds < 3 ? "Live, about once a second." : `The last values are ${seconds} s old.`;
};

/** One conversation: it begins when this is shown, and ends when it is not. */
const Conversation = ({ question, again }: { question: InstrumentQuestion; again: () => void }) => {
  const live = useLiveValues(question);
  const over = live.link === "ended" || live.link === "lost";
  const now = useNow(!over);
  return (
    <>
      <p className={css.said}>{live.said ?? (over ? "It said nothing." : "Asking what it is …")}</p>
      {live.trouble !== null && <Trouble words={live.trouble} />}
      <Values values={live.values} />
      {over ? (
        <div className={css.over}>
          <p role="status">No longer live. {live.why}</p>
          <button type="button" className={parts.button} onClick={again}>
            Read it again
          </button>
        </div>
      ) : (
        <p className={parts.note}>{age(live.heardAt, now)}</p>
      )}
    </>
  );
};

/** What an instrument says while one looks at it; `tried` is what each unit gave when it was asked once. */
export const LiveValues = ({ entry, at, tried }: { entry: Entry; at: string; tried: readonly InstrumentValue[] }) => {
  const [unit, setUnit] = useState(unitShown(entry, tried) ?? "");
  const [text, setText] = useState("");
  const [round, setRound] = useState(0);
  const input = /^\d{1,4}$/.test(text.trim()) ? Number(text.trim()) : undefined;
  const again = () => setRound(round + 1);
  const last = Math.max(1, ...entry.reads.map((read) => read.last));
  const question = { entry: entry.entry, at, unit: unit === "" ? undefined : unit, input };
  return (
    <section className={css.live} aria-label={`Live values of ${entry.title}`}>
      <Conversation key={round} question={question} again={again} />
      {(entry.reads.length > 1 || last > 1) && (
        <div className={css.choose}>
          {entry.reads.length > 1 && (
            <NativeSelect
              label="Unit"
              value={unit}
              onChange={(event) => setUnit(event.currentTarget.value)}
              data={[...entry.reads.map((read) => read.unit), { value: "", label: "all, one after the other" }]}
            />
          )}
          {last > 1 && (
            <TextInput
              label={`Input, 1 to ${last}`}
              inputMode="numeric"
              placeholder="the first"
              value={text}
              onChange={(event) => setText(event.currentTarget.value)}
            />
          )}
        </div>
      )}
      {entry.role === "source" && <SwitchOff entry={entry.entry} at={at} done={again} />}
    </section>
  );
};
