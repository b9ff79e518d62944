import { NativeSelect, TextInput } from "@mantine/core";
import { useQuery } from "@tanstack/react-query";
import { useEffect, useEffectEvent, useState } from "react";
import type { KeptInstrument } from "#contract";
import parts from "../face/parts.module.css";
import { TroubleShape } from "../face/shapes.tsx";
import { typeset } from "../figures/digits.ts";
import { useLiveValues } from "../bench/use-live-values.ts";
import { questions } from "../station.ts";
import type { Columns } from "./typed-rows.ts";
import css from "./upkeep-page.module.css";

const nobody = "";

/** Listens to one input, and takes what it shows: once, or every few seconds until it is stopped. */
const Listening = ({
  instrument,
  input,
  unit,
  every,
  take,
}: {
  instrument: KeptInstrument;
  input: number;
  unit: string;
  every: number;
  take: (value: number) => void;
}) => {
  const live = useLiveValues({ entry: instrument.entry, at: instrument.at, unit, input });
  const [recording, setRecording] = useState(false);
  const shown = live.values.find((value) => value.unit === unit);
  const value = shown?.value ?? null;
  const takeNow = useEffectEvent(() => {
    if (value !== null) take(value);
  });
  useEffect(() => {
    if (!recording) return;
    takeNow();
    const timer = setInterval(() => takeNow(), every * 1000);
    return () => clearInterval(timer);
  }, [recording, every]);
  const why = live.why ?? live.trouble ?? shown?.fault?.message ?? null;
  return (
    <>
      <p role="status">
        {instrument.name} shows <strong>{value === null ? "nothing yet" : `${typeset(String(value))} ${unit}`}</strong>
      </p>
      {why !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{why}</span>
        </p>
      )}
      <div className={css.fields}>
        <button
          type="button"
          className={parts.button}
          disabled={value === null || recording}
          onClick={() => value !== null && take(value)}
        >
          Take it now
        </button>
        <button
          type="button"
          className={parts.button}
          aria-pressed={recording}
          disabled={value === null && !recording}
          onClick={() => setRecording(!recording)}
        >
          {recording ? "Stop taking" : `Take it every ${every} s`}
        </button>
      </div>
    </>
  );
};

/** What a kept instrument of the bench shows, in place of typing it. The station reads it; nothing is commanded. */
export const LiveReading = ({
  column,
  every,
  take,
}: {
  column: Columns[number];
  every: number;
  take: (value: number) => void;
}) => {
  const { data: bench } = useQuery(questions.bench);
  const [name, setName] = useState(nobody);
  const [input, setInput] = useState("1");
  const readouts = (bench?.instruments ?? []).filter(({ role }) => role === "readout");
  const chosen = readouts.find((each) => each.name === name);
  const number = /^\d{1,4}$/.test(input) ? Number(input) : null;
  if (readouts.length === 0) return null;
  return (
    <>
      <div className={css.fields}>
        <NativeSelect
          label="Read from the bench"
          value={name}
          onChange={({ currentTarget }) => setName(currentTarget.value)}
          data={[
            { value: nobody, label: "typed by hand" },
            ...readouts.map((each) => ({ value: each.name, label: each.name })),
          ]}
        />
        {chosen !== undefined && (
          <TextInput
            label="Its input"
            inputMode="numeric"
            value={input}
            error={number === null ? "a whole number" : undefined}
            onChange={({ currentTarget }) => setInput(currentTarget.value)}
          />
        )}
      </div>
      {chosen !== undefined && number !== null && (
        <Listening
          key={`${name} ${number}`}
          instrument={chosen}
          input={number}
          unit={column.unit}
          every={every}
          take={take}
        />
      )}
    </>
  );
};
