import { useMutation, useQuery } from "@tanstack/react-query";
import { useEffect, useState } from "react";
import type { TraceState } from "#contract";
import { Page } from "../face/page.tsx";
import parts from "../face/parts.module.css";
import { client, queryClient, questions, wordsOf } from "../station.ts";
import { emptyRow, keyOf, questionOf, type Draft } from "./draft.ts";
import { SuspicionForm } from "./suspicion-form.tsx";
import { TraceFound } from "./trace-found.tsx";
import css from "./trace-page.module.css";

const today = (): string => new Date().toISOString().slice(0, 10);

const untouched = (): Draft => ({
  suspect: "",
  revision: "",
  good: "",
  bad: today(),
  by: "differences",
  unit: "K",
  rows: [emptyRow],
  right: "",
  course: "step",
  reason: "",
  rehearsals: false,
});

const Progress = ({ state, cancel }: { state: TraceState; cancel: () => void }) => (
  <section className={parts.section} aria-label="Under way">
    <h2>Evaluating again</h2>
    <p role="status">
      {state.done} of {state.of} runs{state.generation > 0 && `, ${state.generation} references on`}
    </p>
    <progress className={css.progress} value={state.done} max={Math.max(1, state.of)} aria-label="runs evaluated" />
    <button type="button" className={parts.button} onClick={cancel}>
      Cancel
    </button>
  </section>
);

/** A reference or readout was found out: what it is thought to have been off by, and what moves with it. */
export const TracePage = () => {
  const { data: suspects, error, isPending } = useQuery(questions.suspects);
  const [draft, setDraft] = useState(untouched);
  const [name, setName] = useState<string | null>(null);
  const asked = useQuery({ ...questions.trace(name ?? ""), enabled: name !== null });
  const shown = (state: TraceState): void => {
    queryClient.setQueryData(questions.trace(state.trace).queryKey, state);
    setName(state.trace);
  };
  const begin = useMutation({
    mutationFn: async (wanted: Draft) => {
      const suspect = suspects!.find((each) => keyOf(each) === wanted.suspect)!;
      const sensor = wanted.by === "revision" ? await client.suspectSensor(suspect.entry, Number(wanted.right)) : null;
      return client.beginTrace(questionOf(wanted, suspect, sensor));
    },
    onSuccess: shown,
  });
  const cancel = useMutation({ mutationFn: (trace: string) => client.cancelTrace(trace), onSuccess: shown });
  const keep = useMutation({
    mutationFn: ({ trace, by }: { trace: string; by: string }) => client.keepTrace(trace, { by }),
    onSuccess: shown,
  });
  useEffect(() => {
    document.title = "Found out · Dwellpoint";
  }, []);
  const state = name === null ? undefined : asked.data;
  const trouble = error ?? begin.error ?? asked.error ?? keep.error;
  return (
    <Page>
      <h1 className={css.title}>Found out</h1>
      <p className={css.lead}>
        A reference or a readout was off, or a coefficient in it was wrong. Everything that was measured with it since
        it was last known to be good is evaluated again, from the logs, as if it had been right. Nothing in the records
        is changed.
      </p>
      {isPending && <p role="status">Asking the station …</p>}
      {trouble !== null && (
        <p role="alert" className={parts.trouble}>
          {wordsOf(trouble)}
        </p>
      )}
      {suspects?.length === 0 && (
        <p className={parts.section}>
          The records hold no kit yet. References and readouts come into them with the first job that is not a
          rehearsal, or on the page of the kit.
        </p>
      )}
      {suspects !== undefined && suspects.length > 0 && (
        <SuspicionForm
          suspects={suspects}
          draft={draft}
          change={(changes) => setDraft({ ...draft, ...changes })}
          begin={() => begin.mutate(draft)}
        />
      )}
      {state?.state === "running" && <Progress state={state} cancel={() => cancel.mutate(state.trace)} />}
      {state?.state === "cancelled" && <p role="status">Cancelled. Nothing was changed.</p>}
      {state?.state === "failed" && (
        <p role="alert" className={parts.trouble}>
          {state.why}
        </p>
      )}
      {state?.found != null && (
        <TraceFound
          key={state.trace}
          state={state}
          trace={state.found}
          keep={(by) => keep.mutate({ trace: state.trace, by })}
        />
      )}
    </Page>
  );
};
