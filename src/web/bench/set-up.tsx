import { useMutation } from "@tanstack/react-query";
import { useState } from "react";
import type { BenchAnswer } from "#contract";
import parts from "../face/parts.module.css";
import { RoleShape, TroubleShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import css from "./bench-page.module.css";
import { entryWords, type Entry } from "./suggested-addresses.ts";
import { WhatItSays } from "./what-it-says.tsx";
import { WhereItIs } from "./where-it-is.tsx";

const shapes = { readout: "reference", source: "source", item: "item" } as const;

/** The first step: which entry of the catalogue it is spoken to by. */
const WhatItIs = ({
  entries,
  chosen,
  choose,
}: {
  entries: readonly Entry[];
  chosen: Entry | undefined;
  choose: (entry: string) => void;
}) => (
  <fieldset className={css.step}>
    <legend>
      <h3>1. What is it?</h3>
    </legend>
    {entries
      .toSorted((a, b) => a.title.localeCompare(b.title, "en"))
      .map((entry) => (
        <label key={entry.entry} className={css.entry}>
          <input
            type="radio"
            name="entry"
            value={entry.entry}
            checked={chosen?.entry === entry.entry}
            onChange={() => choose(entry.entry)}
          />
          <span>
            <RoleShape role={shapes[entry.role]} /> {entry.title}
            <span className={css.under}>{entryWords(entry)}</span>
          </span>
        </label>
      ))}
    <p className={parts.note}>
      None of these? An entry is a file in <code>catalog/instruments</code>; the guide to instruments shows how one is
      written in ten minutes.
    </p>
  </fieldset>
);

/** What is tried: it stays as it was while the fields above are changed. */
interface Tried {
  readonly entry: Entry;
  readonly at: string;
}

/** From a plug to a name: what it is, where it is, what it says, and under which name it is kept. */
export const SetUp = ({ bench }: { bench: BenchAnswer }) => {
  const [name, setName] = useState<string | null>(null);
  const [at, setAt] = useState("");
  const entry = bench.entries.find((each) => each.entry === name);
  const attempt = useMutation({
    mutationFn: ({ entry: asked, at: place }: Tried) => client.tryInstrument({ entry: asked.entry, at: place }),
  });
  const tried = attempt.variables;
  const change = (act: () => void): void => {
    attempt.reset();
    act();
  };
  return (
    <section className={parts.section} aria-labelledby="set-up">
      <h2 id="set-up">Set up an instrument</h2>
      <WhatItIs entries={bench.entries} chosen={entry} choose={(chosen) => change(() => setName(chosen))} />
      {entry !== undefined && (
        <WhereItIs
          key={entry.entry}
          entry={entry}
          bench={bench}
          at={at}
          setAt={(place) => change(() => setAt(place))}
        />
      )}
      {entry !== undefined && (
        <section className={css.step} aria-labelledby="says">
          <h3 id="says">3. What does it say?</h3>
          <div className={css.look}>
            <button
              type="button"
              className={`${parts.button} ${parts.main}`}
              disabled={at.trim() === "" || attempt.isPending}
              onClick={() => attempt.mutate({ entry, at: at.trim() })}
            >
              {attempt.isPending ? "Asking …" : "Try it"}
            </button>
            <p className={parts.note}>It is asked what it is and read. Nothing is commanded.</p>
          </div>
          {attempt.error !== null && (
            <p role="alert" className={parts.trouble}>
              <TroubleShape />
              <span>{wordsOf(attempt.error)}</span>
            </p>
          )}
          {attempt.data !== undefined && tried !== undefined && (
            <WhatItSays
              key={attempt.submittedAt}
              entry={tried.entry}
              at={tried.at}
              trial={attempt.data}
              bench={bench}
            />
          )}
        </section>
      )}
    </section>
  );
};
