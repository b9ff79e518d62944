import { NativeSelect, TextInput } from "@mantine/core";
import { useMutation } from "@tanstack/react-query";
import { useRef, useState } from "react";
import type { KitUpkeep, TypedTest } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, TroubleShape } from "../face/shapes.tsx";
import { client, queryClient, questions, wordsOf } from "../station.ts";
import { FindingView } from "./finding-view.tsx";
import { ReadingsEntry } from "./readings-entry.tsx";
import { readNumber, readRows } from "./typed-rows.ts";
import css from "./upkeep-page.module.css";

type Test = KitUpkeep["tests"][number];
type Step = Test["steps"][number];

/** Stays with readings in them; those that were left out do not count. */
const staysOf = (steps: readonly Step[], texts: ReadonlyMap<number, string>): TypedTest["stays"] =>
  steps.flatMap(({ read }) => {
    if (read === null) return [];
    const { readings, count } = readRows(texts.get(read.stay) ?? "", read.columns);
    return count === 0 ? [] : [{ stay: read.stay, readings }];
  });

const Guide = ({
  steps,
  texts,
  setText,
  clock,
}: {
  steps: readonly Step[];
  texts: ReadonlyMap<number, string>;
  setText: (stay: number, change: (text: string) => string) => void;
  clock: () => number;
}) => (
  <ol className={css.steps}>
    {steps.map(({ text, caution, read }, index) => (
      <li key={`${index} ${text}`}>
        {caution !== null && (
          <div className={css.stepCaution} role="note">
            <CautionShape />
            <span>{caution}</span>
          </div>
        )}
        {text}
        {read !== null && (
          <ReadingsEntry
            read={read}
            text={texts.get(read.stay) ?? ""}
            setText={(change) => setText(read.stay, change)}
            clock={clock}
          />
        )}
      </li>
    ))}
  </ol>
);

/** A test by hand: its steps with their cautions, readings typed at each, what they come to, and keeping it. */
export const GuidedTest = ({ entry, test, close }: { entry: string; test: Test; close: () => void }) => {
  const [texts, setTexts] = useState<ReadonlyMap<number, string>>(new Map());
  const [by, setBy] = useState("");
  const [ambient, setAmbient] = useState("23");
  const [point, setPoint] = useState<"ice-point" | "water-triple-point">("ice-point");
  const begun = useRef<number | null>(null);
  const clock = (): number => {
    begun.current ??= Date.now();
    return Math.round((Date.now() - begun.current) / 100) / 10;
  };
  const stays = staysOf(test.steps, texts);
  const room = readNumber(ambient);
  const question = (): TypedTest => ({
    kind: test.kind,
    by: by.trim(),
    at: new Date(begun.current ?? Date.now()).toISOString().replace(/\.\d+Z$/, "Z"),
    ambient: room ?? 23,
    point,
    stays,
  });
  const trial = useMutation({ mutationFn: () => client.tryUpkeep(entry, question()) });
  const keep = useMutation({
    mutationFn: () => client.keepUpkeep(entry, question()),
    onSuccess: (answer) => {
      queryClient.setQueryData(questions.kitUpkeep(entry).queryKey, answer);
      close();
    },
  });
  const ready = stays.length > 0 && by.trim() !== "" && room !== null;
  const trouble = trial.error ?? keep.error;
  return (
    <section className={parts.section} aria-label={test.title}>
      <h2>{test.title}</h2>
      <p>{test.about}</p>
      <div className={css.fields}>
        <TextInput label="Who makes it" value={by} onChange={(event) => setBy(event.currentTarget.value)} />
        <TextInput
          label="Surroundings, °C"
          inputMode="decimal"
          value={ambient}
          error={room === null ? "a number" : undefined}
          onChange={(event) => setAmbient(event.currentTarget.value)}
        />
        {test.kind === "reference-check" && (
          <NativeSelect
            label="Point"
            value={point}
            onChange={({ currentTarget }) =>
              setPoint(currentTarget.value === "ice-point" ? "ice-point" : "water-triple-point")
            }
            data={[
              { value: "ice-point", label: "ice point" },
              { value: "water-triple-point", label: "triple point of water" },
            ]}
          />
        )}
      </div>
      <Guide
        steps={test.steps}
        texts={texts}
        setText={(stay, change) => setTexts((before) => new Map(before).set(stay, change(before.get(stay) ?? "")))}
        clock={clock}
      />
      {trouble !== null && (
        <p role="alert" className={parts.trouble}>
          <TroubleShape />
          <span>{wordsOf(trouble)}</span>
        </p>
      )}
      <div className={css.fields}>
        <button
          type="button"
          className={parts.button}
          disabled={!ready || trial.isPending}
          onClick={() => trial.mutate()}
        >
          What it comes to
        </button>
        <button
          type="button"
          className={`${parts.button} ${parts.main}`}
          disabled={!ready || keep.isPending}
          onClick={() => keep.mutate()}
        >
          Keep it
        </button>
        <button type="button" className={`${parts.button} ${parts.quiet}`} onClick={close}>
          Leave it
        </button>
      </div>
      {trial.data !== undefined && (
        <section aria-label="What it comes to">
          <h3>What it comes to</h3>
          <p className={parts.note}>Not kept yet.</p>
          <FindingView finding={trial.data} />
        </section>
      )}
    </section>
  );
};
