import { Textarea, TextInput } from "@mantine/core";
import { useState, type ReactNode } from "react";
import type { RunCommand, RunView, Stop } from "#contract";
import parts from "../face/parts.module.css";
import { nominal } from "../figures/digits.ts";
import css from "./site-actions.module.css";

/** What an action asks for beside a name: everything that the command carries. */
export type Asked = Omit<RunCommand, "by">;

const decimal = (text: string): number | null => {
  const value = Number(text.trim().replace(",", ".").replace("−", "-"));
  return text.trim() !== "" && Number.isFinite(value) ? value : null;
};

const Choice = <T extends string>({
  label,
  options,
  value,
  choose,
}: {
  label: string;
  options: readonly (readonly [value: T, words: string])[];
  value: T;
  choose: (value: T) => void;
}) => (
  <div role="group" aria-label={label} className={css.choice}>
    <span className={css.label}>{label}</span>
    {options.map(([each, words]) => (
      <button
        key={each}
        type="button"
        className={parts.button}
        aria-pressed={value === each}
        onClick={() => choose(each)}
      >
        {words}
      </button>
    ))}
  </div>
);

const Form = ({
  act,
  ready,
  send,
  back,
  children,
}: {
  act: string;
  ready: Asked | null;
  send: (asked: Asked) => void;
  back: () => void;
  children: ReactNode;
}) => (
  <form
    className={css.form}
    onSubmit={(event) => {
      event.preventDefault();
      if (ready !== null) send(ready);
    }}
  >
    {children}
    <div className={css.ends}>
      <button type="button" className={parts.button} onClick={back}>
        Back
      </button>
      <button type="submit" className={`${parts.button} ${parts.main}`} disabled={ready === null}>
        {act}
      </button>
    </div>
  </form>
);

const Why = ({ value, set, example }: { value: string; set: (value: string) => void; example: string }) => (
  <Textarea
    label="Why"
    description={`It stands in the log, for example: ${example}`}
    value={value}
    onChange={(event) => set(event.currentTarget.value)}
    minRows={1}
    autosize
    maxLength={500}
  />
);

interface FormProps {
  readonly view: RunView;
  readonly send: (asked: Asked) => void;
  readonly back: () => void;
}

export const AddPoint = ({ send, back }: FormProps) => {
  const [temperature, setTemperature] = useState("");
  const [reason, setReason] = useState("");
  const [where, setWhere] = useState<"cheapest" | "next" | "last">("cheapest");
  const [side, setSide] = useState<"either" | "rising" | "falling">("either");
  const value = decimal(temperature);
  const ready =
    value === null || reason.trim() === ""
      ? null
      : {
          command: "add-point" as const,
          temperature: value,
          reason: reason.trim(),
          where,
          ...(side === "either" ? {} : { direction: side }),
        };
  return (
    <Form act="Add it" ready={ready} send={send} back={back}>
      <TextInput
        label="Temperature, °C"
        inputMode="decimal"
        value={temperature}
        onChange={(event) => setTemperature(event.currentTarget.value)}
        data-autofocus
      />
      <Choice
        label="When"
        options={[
          ["cheapest", "where it costs least time"],
          ["next", "next"],
          ["last", "last"],
        ]}
        value={where}
        choose={setWhere}
      />
      <Choice
        label="Reached"
        options={[
          ["either", "from either side"],
          ["rising", "rising ↑"],
          ["falling", "falling ↓"],
        ]}
        value={side}
        choose={setSide}
      />
      <Why value={reason} set={setReason} example="in use there" />
    </Form>
  );
};

const stopName = ({ temperature, direction }: Stop): string =>
  `${nominal(temperature)} °C${direction === null ? "" : direction === "rising" ? " ↑" : " ↓"}`;

export const SwapPoints = ({ view, send, back }: FormProps) => {
  const [pair, setPair] = useState<readonly Stop[]>([]);
  const [reason, setReason] = useState("");
  const ahead = view.route.filter((stop) => stop.status === "ahead");
  const same = (a: Stop, b: Stop): boolean => a.pass === b.pass && a.point === b.point;
  const toggle = (stop: Stop): void =>
    setPair((before) =>
      before.some((each) => same(each, stop))
        ? before.filter((each) => !same(each, stop))
        : [...before.filter(({ pass }) => pass === stop.pass), stop].slice(-2),
    );
  const [one, other] = pair;
  const ready =
    one === undefined || other === undefined || reason.trim() === ""
      ? null
      : { command: "swap-points" as const, pass: one.pass, point: one.point, with: other.point, reason: reason.trim() };
  return (
    <Form act="Let them change places" ready={ready} send={send} back={back}>
      <div role="group" aria-label="Two points still to come" className={css.choice}>
        <span className={css.label}>Two points still to come</span>
        {ahead.map((stop) => (
          <button
            key={`${stop.pass} ${stop.point}`}
            type="button"
            className={parts.button}
            aria-pressed={pair.some((each) => same(each, stop))}
            onClick={() => toggle(stop)}
          >
            {stopName(stop)} <span className={parts.note}>{stop.pass === "as-left" ? "as left" : "as found"}</span>
          </button>
        ))}
      </div>
      <Why value={reason} set={setReason} example="the source is warm already" />
    </Form>
  );
};

export const Break = ({ view, send, back }: FormProps) => {
  const [minutes, setMinutes] = useState("30");
  const value = decimal(minutes);
  return (
    <div className={css.form}>
      <p>
        The run pauses. A source that holds is switched off when the time is over, and never holds longer than the
        procedure allows.
      </p>
      <TextInput
        label="Back in, minutes"
        inputMode="numeric"
        value={minutes}
        onChange={(event) => setMinutes(event.currentTarget.value)}
        data-autofocus
      />
      <div className={css.ends}>
        <button type="button" className={parts.button} onClick={back}>
          Back
        </button>
        <button type="button" className={parts.button} onClick={() => send({ command: "break", hold: false })}>
          Switch off and let it cool
        </button>
        <button
          type="button"
          className={`${parts.button} ${parts.main}`}
          disabled={value === null || value <= 0}
          onClick={() => send({ command: "break", hold: true, seconds: 60 * (value ?? 0) })}
        >
          Hold {view.setPoint === null ? "the temperature" : `${nominal(view.setPoint)} °C`}
        </button>
      </div>
    </div>
  );
};

export const ReplaceKit = ({ send, back }: FormProps) => {
  const [role, setRole] = useState<"reference" | "readout" | "source">("reference");
  const [entry, setEntry] = useState("");
  const [earlier, setEarlier] = useState<"keep" | "flag" | "">("");
  const [reason, setReason] = useState("");
  const ready =
    entry.trim() === "" || earlier === "" || reason.trim() === ""
      ? null
      : { command: "replace-kit" as const, role, entry, earlier, reason: reason.trim() };
  return (
    <Form act="Replace it" ready={ready} send={send} back={back}>
      <Choice
        label="What"
        options={[
          ["reference", "reference"],
          ["readout", "readout"],
          ["source", "heat source"],
        ]}
        value={role}
        choose={setRole}
      />
      <Textarea
        label="The entry that takes its place"
        description="As it stands in a job file, with its calibration (YAML or JSON). It is checked: in calibration today, range, channel."
        value={entry}
        onChange={(event) => setEntry(event.currentTarget.value)}
        minRows={4}
        maxRows={10}
        autosize
        spellCheck={false}
        data-autofocus
      />
      <Choice
        label="Points measured before"
        options={[
          ["keep", "stand"],
          ["flag", "are flagged, to be repeated"],
        ]}
        value={earlier as "keep" | "flag"}
        choose={setEarlier}
      />
      <Why value={reason} set={setReason} example="it fell on the floor" />
    </Form>
  );
};

export const RecordCheck = ({ send, back }: FormProps) => {
  const [text, setText] = useState("");
  const value = decimal(text);
  return (
    <Form act="Record it" ready={value === null ? null : { command: "record-check", value }} send={send} back={back}>
      <TextInput
        label="The check thermometer shows, °C"
        description="With its correction; read it now, while both are steady."
        inputMode="decimal"
        value={text}
        onChange={(event) => setText(event.currentTarget.value)}
        data-autofocus
      />
    </Form>
  );
};

export const SkipCheck = ({ send, back }: FormProps) => {
  const [reason, setReason] = useState("");
  return (
    <Form
      act="Go on without it"
      ready={reason.trim() === "" ? null : { command: "skip-check", reason: reason.trim() }}
      send={send}
      back={back}
    >
      <p>A check that failed stays on the record, and what it makes suspect gets no statement of conformity.</p>
      <Why value={reason} set={setReason} example="no ice on site" />
    </Form>
  );
};
