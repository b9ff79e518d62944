import { NativeSelect } from "@mantine/core";
import type { ColumnUsesMessage, Job, ReadingsFile } from "#contract";
import parts from "../face/parts.module.css";
import css from "./readings-import.module.css";
import { columnChoices, type ColumnUse } from "./column-words.ts";

/** Units from which a channel's own comes by moving the decimal point. */
const unitsOf: Readonly<Record<string, readonly string[]>> = { mV: ["mV", "V", "µV"], mA: ["mA", "A"], Ω: ["Ω", "kΩ"] };

/** The usual ones, and what the file itself says. */
const unitChoices = (own: string, said: string | undefined): string[] => [
  ...new Set([...(unitsOf[own] ?? [own]), ...(said === undefined ? [] : [said])]),
];

/** The first rows of the file, each column with what it is for above it. */
export const ColumnsTable = ({
  job,
  file,
  uses,
  change,
}: {
  job: Job;
  file: ReadingsFile;
  uses: ColumnUsesMessage;
  change: (uses: ColumnUsesMessage) => void;
}) => {
  const header = file.first.find(({ line }) => line >= uses.names);
  const columns = header?.cells ?? [];
  const body = file.first.filter(({ line }) => line > (header?.line ?? 0));
  const choices = columnChoices(job);
  const useOf = (column: string): ColumnUse => uses.uses.find((each) => each.column === column)?.use ?? "none";
  const set = (column: string, use: ColumnUse, unit?: string): void =>
    change({
      ...uses,
      uses: uses.uses.map((each) =>
        each.column === column ? { column, use, ...(unit === undefined ? {} : { unit }) } : each,
      ),
    });
  const own = (column: string): string | undefined => job.bench.channels[useOf(column).replace("channel:", "")]?.unit;
  return (
    <div className={css.scroll} tabIndex={0} role="region" aria-label="The first rows of the file">
      <table className={parts.table}>
        <thead>
          <tr>
            <th scope="col">line</th>
            {columns.map((column, index) => (
              <th key={`${index} ${column}`} scope="col" className={useOf(column) === "none" ? css.unused : undefined}>
                <span className={css.column}>{column === "" ? "(no name)" : column}</span>
                {column !== "" && (
                  <NativeSelect
                    aria-label={`What ${column} is`}
                    className={css.use ?? ""}
                    value={useOf(column)}
                    data={choices}
                    onChange={(event) => set(column, event.currentTarget.value as ColumnUse)}
                  />
                )}
                {(unitsOf[own(column) ?? ""] ?? []).length > 1 && (
                  <NativeSelect
                    aria-label={`Unit of ${column}`}
                    className={css.use ?? ""}
                    value={uses.uses.find((each) => each.column === column)?.unit ?? own(column) ?? ""}
                    data={unitChoices(own(column) ?? "", uses.uses.find((each) => each.column === column)?.unit)}
                    onChange={({ currentTarget: { value } }) =>
                      set(column, useOf(column), value === own(column) ? undefined : value)
                    }
                  />
                )}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {body.slice(0, 6).map(({ line, cells }) => (
            <tr key={line}>
              <td>{line}</td>
              {columns.map((column, index) => (
                <td key={`${index} ${column}`} className={useOf(column) === "none" ? css.unused : undefined}>
                  {cells[index] ?? ""}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
};
