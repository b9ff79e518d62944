import { TextInput } from "@mantine/core";
import type { ReactNode } from "react";
import type { Suspect } from "#contract";
import parts from "../face/parts.module.css";
import { emptyRow, keyOf, missingIn, type CourseKind, type Draft, type DraftRow } from "./draft.ts";
import css from "./trace-page.module.css";

const courses: readonly (readonly [CourseKind, string, string])[] = [
  ["step", "All of it, from the day after", "the worst case: every result is corrected by the whole"],
  ["linear", "Evenly, day by day", "a result is corrected by the share of its day"],
  ["unknown", "Nobody knows", "half of it, and the other half as uncertainty"],
];

const Choice = ({
  name,
  checked,
  choose,
  children,
}: {
  name: string;
  checked: boolean;
  choose: () => void;
  children: ReactNode;
}) => (
  <label className={css.choice}>
    <input type="radio" name={name} checked={checked} onChange={choose} />
    <span>{children}</span>
  </label>
);

const Rows = ({ draft, change, unit }: { draft: Draft; change: (rows: readonly DraftRow[]) => void; unit: string }) => {
  const where = unit === "K" ? "°C" : unit;
  const set = (index: number, changes: Partial<DraftRow>): void => {
    const rows = draft.rows.map((row, each) => (each === index ? { ...row, ...changes } : row));
    change(rows.at(-1) !== emptyRow ? [...rows, emptyRow] : rows);
  };
  const field = (index: number, name: keyof DraftRow, words: string) => (
    <td>
      <TextInput
        aria-label={`${words}, row ${index + 1}`}
        inputMode="decimal"
        value={draft.rows[index]![name]}
        onChange={(event) => set(index, { [name]: event.currentTarget.value })}
      />
    </td>
  );
  return (
    <table className={css.rows}>
      <thead>
        <tr>
          <th scope="col">where it read, {where}</th>
          <th scope="col">what must be added, {unit}</th>
          <th scope="col">standard uncertainty of that, {unit}</th>
        </tr>
      </thead>
      <tbody>
        {draft.rows.map((_, index) => (
          // Rows are never taken out or moved, so that their place is their name.
          // oxlint-disable-next-line react/no-array-index-key
          <tr key={index}>
            {field(index, "at", "where it read")}
            {field(index, "add", "what must be added")}
            {field(index, "u", "standard uncertainty")}
          </tr>
        ))}
      </tbody>
    </table>
  );
};

const Revisions = ({
  label,
  value,
  set,
  suspect,
  any,
}: {
  label: string;
  value: string;
  set: (text: string) => void;
  suspect: Suspect;
  any: string | null;
}) => (
  <label className={css.select}>
    <span>{label}</span>
    <select value={value} onChange={(event) => set(event.currentTarget.value)}>
      <option value="">{any ?? "choose"}</option>
      {suspect.revisions.map(({ revision, certificate, calibrated }) => (
        <option key={revision} value={String(revision)}>
          revision {revision}: {certificate} of {calibrated}
        </option>
      ))}
    </select>
  </label>
);

/** What was found out, when, by how much, and what is assumed of the time in between. */
export const SuspicionForm = ({
  suspects,
  draft,
  change,
  begin,
}: {
  suspects: readonly Suspect[];
  draft: Draft;
  change: (changes: Partial<Draft>) => void;
  begin: () => void;
}) => {
  const suspect = suspects.find((each) => keyOf(each) === draft.suspect);
  const missing = missingIn(draft, suspect);
  const exchangeable = suspect?.revisions.filter(({ coefficients }) => coefficients).length ?? 0;
  const choose = (key: string): void => {
    const chosen = suspects.find((each) => keyOf(each) === key);
    const calibrated = chosen?.revisions.at(-1)?.calibrated ?? "";
    change({
      suspect: key,
      revision: "",
      right: "",
      by: "differences",
      good: calibrated,
      unit: chosen?.units[0] ?? "K",
    });
  };
  return (
    <form
      className={css.form}
      onSubmit={(event) => {
        event.preventDefault();
        if (missing.length === 0) begin();
      }}
    >
      <fieldset>
        <legend>What was found out</legend>
        <label className={css.select}>
          <span>Reference or readout</span>
          <select value={draft.suspect} onChange={(event) => choose(event.currentTarget.value)}>
            <option value="">choose</option>
            {suspects.map((each) => (
              <option key={keyOf(each)} value={keyOf(each)}>
                {each.serial}: {each.description} ({each.entry}), {each.runs} runs
              </option>
            ))}
          </select>
        </label>
        <div className={css.days}>
          <TextInput
            type="date"
            label="Last good evidence"
            description="calibration, check, comparison"
            value={draft.good}
            onChange={(event) => change({ good: event.currentTarget.value })}
          />
          <TextInput
            type="date"
            label="Found out on"
            description="recalibration, failed check, mistake seen"
            value={draft.bad}
            onChange={(event) => change({ bad: event.currentTarget.value })}
          />
        </div>
      </fieldset>
      {suspect !== undefined && (
        <fieldset>
          <legend>By how much</legend>
          {exchangeable > 1 && (
            <div className={css.choices}>
              <Choice name="by" checked={draft.by === "differences"} choose={() => change({ by: "differences" })}>
                <strong>It read wrong</strong> by a correction that is known
              </Choice>
              <Choice name="by" checked={draft.by === "revision"} choose={() => change({ by: "revision" })}>
                <strong>A coefficient was wrong</strong> and another revision is right
              </Choice>
            </div>
          )}
          {draft.by === "differences" ? (
            <>
              {suspect.units.length > 1 && (
                <label className={css.select}>
                  <span>Readings in</span>
                  <select value={draft.unit} onChange={(event) => change({ unit: event.currentTarget.value })}>
                    {suspect.units.map((unit) => (
                      <option key={unit}>{unit}</option>
                    ))}
                  </select>
                </label>
              )}
              <Rows
                draft={draft}
                change={(rows) => change({ rows })}
                unit={suspect.kind === "reference" ? "K" : draft.unit}
              />
              <p className={parts.note}>
                Read too low means: something must be added. Straight lines between rows; beyond the ends the end row
                holds.
              </p>
            </>
          ) : (
            <div className={css.days}>
              <Revisions
                label="Wrong was"
                value={draft.revision}
                set={(revision) => change({ revision })}
                suspect={suspect}
                any={null}
              />
              <Revisions
                label="Right is"
                value={draft.right}
                set={(right) => change({ right })}
                suspect={suspect}
                any={null}
              />
            </div>
          )}
        </fieldset>
      )}
      {suspect !== undefined && (
        <fieldset>
          <legend>How it came about in between</legend>
          <div className={css.choices}>
            {courses.map(([kind, words, meaning]) => (
              <Choice key={kind} name="course" checked={draft.course === kind} choose={() => change({ course: kind })}>
                <strong>{words}</strong>: {meaning}
              </Choice>
            ))}
          </div>
          <TextInput
            label="Reason, for the record"
            placeholder="recalibration, certificate number"
            value={draft.reason}
            onChange={(event) => change({ reason: event.currentTarget.value })}
          />
          <label className={css.choice}>
            <input
              type="checkbox"
              checked={draft.rehearsals}
              onChange={(event) => change({ rehearsals: event.currentTarget.checked })}
            />
            <span>rehearsals too</span>
          </label>
        </fieldset>
      )}
      <div className={css.begin}>
        <button type="submit" className={`${parts.button} ${parts.main}`} disabled={missing.length > 0}>
          See what moves
        </button>
        {suspect !== undefined && missing.length > 0 && (
          <p className={parts.note}>Still wanted: {missing.join("; ")}.</p>
        )}
      </div>
    </form>
  );
};
