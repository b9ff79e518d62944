import type { Suspect, TraceQuestion } from "#contract";

export interface DraftRow {
  readonly at: string;
  readonly add: string;
  readonly u: string;
}

export type CourseKind = "step" | "linear" | "unknown";

/** What a person has filled in so far. */
export interface Draft {
  /** `entry/serial` of the suspect. */
  readonly suspect: string;
  /** Empty: every revision. */
  readonly revision: string;
  readonly good: string;
  readonly bad: string;
  readonly by: "differences" | "revision";
  readonly unit: string;
  readonly rows: readonly DraftRow[];
  /** The revision whose coefficients are the right ones. */
  readonly right: string;
  readonly course: CourseKind;
  readonly reason: string;
  readonly rehearsals: boolean;
}

export const emptyRow: DraftRow = { at: "", add: "", u: "" };

export const keyOf = ({ entry, serial }: Suspect): string => `${entry}/${serial}`;

/** A number as people write it, with a comma or a point; undefined for what is none. */
export const readNumber = (text: string): number | undefined => {
  const plain = text.trim().replace(",", ".").replace("−", "-");
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : undefined;
};

const isEmpty = ({ at, add, u }: DraftRow): boolean => [at, add, u].every((text) => text.trim() === "");

/** What is still missing, in words; nothing when the trace can begin. */
export const missingIn = (draft: Draft, suspect: Suspect | undefined): string[] => {
  if (suspect === undefined) return ["choose what was found out"];
  const missing: string[] = [];
  if (draft.good === "") missing.push("the day of the last good evidence");
  if (draft.bad === "") missing.push("the day on which it was found out");
  if (draft.good !== "" && draft.bad !== "" && draft.bad < draft.good)
    missing.push("it was found out before its last good evidence: exchange the days");
  if (draft.by === "revision") {
    if (draft.right === "") missing.push("the revision that is right");
    if (draft.right !== "" && draft.right === draft.revision) missing.push("two different revisions");
    if (draft.revision === "") missing.push("the revision that was wrong");
  } else {
    const rows = draft.rows.filter((row) => !isEmpty(row));
    if (rows.length === 0) missing.push("at least one row of what must be added");
    for (const [index, { at, add, u }] of rows.entries()) {
      if (readNumber(at) === undefined || readNumber(add) === undefined) missing.push(`numbers in row ${index + 1}`);
      else if (u.trim() !== "" && !(readNumber(u)! >= 0))
        missing.push(`a standard uncertainty of 0 or more in row ${index + 1}`);
    }
    const places = rows.map(({ at }) => readNumber(at)).toSorted((a, b) => (a ?? 0) - (b ?? 0));
    if (places.some((at, index) => at !== undefined && at === places[index + 1])) missing.push("each place once");
  }
  if (draft.reason.trim() === "") missing.push("a reason, for the record");
  return missing;
};

/** The question for the station; `sensor` is that of the right revision, where coefficients are exchanged. */
export const questionOf = (
  draft: Draft,
  suspect: Suspect,
  sensor: Extract<TraceQuestion["suspicion"]["correction"], { kind: "coefficients" }>["sensor"] | null,
): TraceQuestion => ({
  suspicion: {
    kit: {
      kind: suspect.kind,
      serial: suspect.serial,
      entry: suspect.entry,
      ...(draft.revision === "" ? {} : { revision: Number(draft.revision) }),
    },
    good: draft.good,
    bad: draft.bad,
    correction:
      sensor === null
        ? {
            kind: "differences",
            table: draft.rows
              .filter((row) => !isEmpty(row))
              .map(({ at, add, u }) => ({ at: readNumber(at)!, add: readNumber(add)!, u: readNumber(u) ?? 0 }))
              .toSorted((a, b) => a.at - b.at),
            ...(suspect.kind === "readout" ? { unit: draft.unit as "Ω" } : {}),
          }
        : { kind: "coefficients", sensor, u: 0 },
    course: { kind: draft.course },
    significant: 1 / 3,
    reason: draft.reason.trim(),
  },
  rehearsals: draft.rehearsals,
});
