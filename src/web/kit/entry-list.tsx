import type { KitAnswer, KitEntryShown } from "#contract";
import parts from "../face/parts.module.css";
import { CautionShape, RoleShape, TroubleShape } from "../face/shapes.tsx";
import { onDay } from "../figures/clock.ts";
import css from "./kit-page.module.css";

const roles = { reference: "reference", readout: "error", source: "source" } as const;
const kindWords = { reference: "References", readout: "Readouts", source: "Sources" } as const;

const Due = ({ due, state }: Pick<KitEntryShown, "due" | "state">) => {
  if (due === null) return <span className={parts.note}>none of its own</span>;
  const day = onDay(due);
  return (
    <>
      <time dateTime={due} title={due}>
        {day.text}
      </time>
      {state === "soon" && (
        <div className={css.check}>
          <CautionShape /> due within 30 days
        </div>
      )}
      {state === "past" && (
        <div className={css.check}>
          <TroubleShape /> past
        </div>
      )}
    </>
  );
};

/** The kit by kind, each entry a row that opens. */
export const EntryList = ({
  kit,
  chosen,
  choose,
}: {
  kit: KitAnswer;
  chosen: string | null;
  choose: (id: string) => void;
}) => (
  <>
    {(["reference", "readout", "source"] as const).map((kind) => {
      const entries = kit.entries.filter((entry) => entry.kind === kind);
      if (entries.length === 0) return null;
      return (
        <section key={kind} className={parts.section} aria-label={kindWords[kind]}>
          <h2 className={css.kind}>
            <RoleShape role={roles[kind]} /> {kindWords[kind]}
          </h2>
          <div className={css.wide} role="region" aria-label={`Table of ${kindWords[kind]}`} tabIndex={0}>
            <table className={`${parts.table} ${css.entries}`}>
              <thead>
                <tr>
                  <th scope="col">entry</th>
                  <th scope="col">serial number</th>
                  <th scope="col">certificate</th>
                  <th scope="col">due</th>
                </tr>
              </thead>
              <tbody>
                {entries.map((entry) => (
                  <tr key={entry.id} aria-current={entry.id === chosen}>
                    <td>
                      <button
                        type="button"
                        className={parts.open}
                        aria-expanded={entry.id === chosen}
                        onClick={() => choose(entry.id)}
                      >
                        {entry.id}
                      </button>
                      <div className={parts.note}>
                        {entry.description}, revision {entry.revision}
                      </div>
                    </td>
                    <td>{entry.serial}</td>
                    <td>{entry.certificate ?? "–"}</td>
                    <td>
                      <Due due={entry.due} state={entry.state} />
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </section>
      );
    })}
  </>
);
