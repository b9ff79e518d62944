import { NativeSelect, TextInput } from "@mantine/core";
import { useMutation, useQueryClient } from "@tanstack/react-query";
import { useState } from "react";
import type { BenchAnswer, InstrumentTrial } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape } from "../face/shapes.tsx";
import { client, wordsOf } from "../station.ts";
import css from "./bench-page.module.css";
import { JobLine } from "./job-line.tsx";
import { LiveValues } from "./live-values.tsx";
import { freeName } from "./free-name.ts";
import type { Entry } from "./suggested-addresses.ts";

const marks: Readonly<Record<InstrumentTrial["transcript"][number]["direction"], string>> = {
  opened: "connected",
  sent: "asked",
  received: "answered",
  discarded: "ignored",
  closed: "closed",
};

const Transcript = ({ lines }: { lines: InstrumentTrial["transcript"] }) => (
  <details className={css.transcript}>
    <summary>The dialogue, word for word ({lines.length} lines)</summary>
    <div className={css.scroll} tabIndex={0} role="region" aria-label="The dialogue">
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">after</th>
            <th scope="col">what</th>
            <th scope="col">words</th>
          </tr>
        </thead>
        <tbody>
          {lines.map(({ at, direction, text }, index) => (
            <tr key={`${index} ${at}`}>
              <td>{at.toFixed(3)} s</td>
              <td>{marks[direction]}</td>
              <td>
                <code>{text}</code>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  </details>
);

/** The last step: a name, under which it is kept. */
const Keep = ({ entry, at, said, bench }: { entry: Entry; at: string; said: string; bench: BenchAnswer }) => {
  const taken = bench.instruments;
  const [name, setName] = useState(() => freeName(entry.role, taken));
  const kit = bench.kit.filter(({ kind }) => kind === entry.role);
  const own = kit.find((each) => each.entry === name.trim());
  const rename = (next: string): void => {
    keep.reset();
    setName(next);
  };
  const queries = useQueryClient();
  const keep = useMutation({
    mutationFn: () => client.keepInstrument({ name: name.trim(), entry: entry.entry, at }),
    onSuccess: () => queries.invalidateQueries({ queryKey: ["bench"] }),
  });
  const before = keep.data === undefined ? taken.find((each) => each.name === name.trim()) : undefined;
  return (
    <section className={css.step} aria-labelledby="keep">
      <h3 id="keep">4. Keep it</h3>
      <form
        className={css.keep}
        onSubmit={(event) => {
          event.preventDefault();
          keep.mutate();
        }}
      >
        {kit.length > 0 && (
          <NativeSelect
            label="In the kit it is"
            description={own === undefined ? "its figures stand there" : `serial ${own.serial}`}
            value={own?.entry ?? ""}
            data={[
              { value: "", label: "none of these" },
              ...kit.map((each) => ({ value: each.entry, label: `${each.entry}, ${each.description}` })),
            ]}
            onChange={({ currentTarget: { value } }) => rename(value === "" ? freeName(entry.role, taken) : value)}
          />
        )}
        <TextInput
          label="Name"
          description={
            before === undefined
              ? "Letters, digits, '.', '_' and '-'; what a job will call it"
              : `${before.name} is set up already, at ${before.at}; it becomes this one`
          }
          value={name}
          spellCheck={false}
          autoComplete="off"
          onChange={(event) => rename(event.currentTarget.value)}
        />
        <button
          type="submit"
          className={`${parts.button} ${parts.main}`}
          disabled={name.trim() === "" || keep.isPending}
        >
          Keep it
        </button>
      </form>
      {own !== undefined && !said.includes(own.serial) && (
        <p className={parts.caution}>
          <CautionShape />
          <span>
            It says “{said}”; the serial number {own.serial} of {own.entry} does not stand there. Look at its plate: is
            it this one?
          </span>
        </p>
      )}
      {keep.error !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(keep.error)}</span>
        </p>
      )}
      {keep.data !== undefined && (
        <div role="status">
          <p className={css.kept}>Kept as {keep.data.name}.</p>
          <JobLine known={keep.data} />
        </div>
      )}
    </section>
  );
};

/** The third step and what follows: what the instrument says, or why it says nothing. */
export const WhatItSays = ({
  entry,
  at,
  trial,
  bench,
}: {
  entry: Entry;
  at: string;
  trial: InstrumentTrial;
  bench: BenchAnswer;
}) => (
  <>
    {trial.fault === null ? (
      <LiveValues entry={entry} at={at} tried={trial.values} />
    ) : (
      <p role="alert" className={parts.trouble}>
        <TroubleShape />
        <span>{trial.fault.message}</span>
      </p>
    )}
    {trial.transcript.length > 0 && <Transcript lines={trial.transcript} />}
    {trial.fault === null && <Keep entry={entry} at={at} said={trial.said ?? ""} bench={bench} />}
  </>
);
