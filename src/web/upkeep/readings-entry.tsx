import { Textarea, TextInput } from "@mantine/core";
import { useRef, useState } from "react";
import parts from "../face/parts.module.css";
import { duration } from "../figures/clock.ts";
import type { ShownStep } from "#contract";
import { LiveReading } from "./live-reading.tsx";
import { readNumber, readRows } from "./typed-rows.ts";
import css from "./upkeep-page.module.css";

/** What is read in one stay: typed one by one, timed from the first; or pasted as lines. */
export const ReadingsEntry = ({
  read,
  text,
  setText,
  clock,
}: {
  read: NonNullable<ShownStep["read"]>;
  text: string;
  setText: (change: (text: string) => string) => void;
  /** Seconds since the test's first reading. */
  clock: () => number;
}) => {
  const [typed, setTyped] = useState<readonly string[]>(read.columns.map(() => ""));
  const first = useRef<HTMLInputElement>(null);
  const rows = readRows(text, read.columns);
  const ready = typed.every((word) => readNumber(word) !== null);
  const append = (values: readonly number[]): void => {
    const line = [clock(), ...values].join(" ");
    setText((before) => (before.trim() === "" ? line : `${before.trimEnd()}\n${line}`));
  };
  const add = (): void => {
    append(typed.map((word) => readNumber(word)!));
    setTyped(read.columns.map(() => ""));
    first.current?.focus();
  };
  return (
    <div className={css.entry}>
      <form
        className={css.fields}
        onSubmit={(event) => {
          event.preventDefault();
          if (ready) add();
        }}
      >
        {read.columns.map(({ name, label, unit }, column) => (
          <TextInput
            key={name}
            ref={column === 0 ? first : undefined}
            label={`${label}, ${unit}`}
            inputMode="decimal"
            value={typed[column] ?? ""}
            onChange={({ currentTarget }) => {
              const { value } = currentTarget;
              setTyped(typed.map((word, index) => (index === column ? value : word)));
            }}
          />
        ))}
        <button type="submit" className={parts.button} disabled={!ready}>
          Take this reading now
        </button>
      </form>
      {read.columns.length === 1 && (
        <LiveReading column={read.columns[0]!} every={read.every} take={(value) => append([value])} />
      )}
      <Textarea
        label={`Readings: seconds, ${read.columns.map(({ label, unit }) => `${label.toLowerCase()} in ${unit}`).join(", ")}`}
        description={`For ${duration(read.seconds)}, every ${read.every} s as far as one can; a line each. They can be pasted, and mended here.`}
        classNames={{ input: css.rows }}
        autosize
        minRows={3}
        maxRows={12}
        value={text}
        error={rows.wrong}
        onChange={({ currentTarget }) => {
          const { value } = currentTarget;
          setText(() => value);
        }}
      />
      <p className={parts.note}>
        {rows.count} {rows.count === 1 ? "reading" : "readings"}.
      </p>
    </div>
  );
};
