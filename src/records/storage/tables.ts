import type { Decision } from "#calibration";
import type { ColumnType } from "kysely";

/** Set when a row is written, and never after. */
type Kept<T> = ColumnType<T, T, never>;

export interface Tables {
  this_station: { one: Kept<1>; station: Kept<string> };
  ledger: { station: Kept<string>; number: Kept<number>; text: Kept<string>; hash: Kept<string> };
  ledger_segments: {
    station: Kept<string>;
    first: Kept<number>;
    last: Kept<number>;
    hash: Kept<string>;
    sum: Kept<string>;
    bytes: Kept<Uint8Array>;
  };
  run_segments: {
    number: Kept<number>;
    first: Kept<number>;
    last: Kept<number>;
    hash: Kept<string>;
    sum: Kept<string>;
    bytes: Kept<Uint8Array>;
  };
  runs: {
    number: Kept<number>;
    run: Kept<string>;
    job: Kept<string>;
    title: Kept<string>;
    customer: Kept<string>;
    place: Kept<string>;
    technician: Kept<string>;
    opened: Kept<string>;
    rehearsal: Kept<number>;
    items: Kept<string>;
    stops: Kept<number>;
    words: Kept<string>;
  };
  run_events: {
    number: Kept<number>;
    n: Kept<number>;
    kind: Kept<string>;
    at: Kept<number>;
    text: Kept<string>;
    hash: Kept<string>;
  };
  run_states: {
    number: number;
    events: number;
    last_at: number;
    head: string;
    measured: number;
    paused: number;
    outcome: string | null;
    decision: string | null;
  };
  run_items: { number: Kept<number>; item: Kept<string>; tag: Kept<string>; serial: Kept<string> };
  job_revisions: {
    job: Kept<string>;
    revision: Kept<number>;
    title: Kept<string>;
    customer: Kept<string>;
    text: Kept<string>;
    source: Kept<string | null>;
    saved: Kept<string>;
  };
  item_revisions: {
    item: Kept<string>;
    revision: Kept<number>;
    tag: Kept<string>;
    serial: Kept<string>;
    description: Kept<string>;
    text: Kept<string>;
    saved: Kept<string>;
  };
  kit_revisions: {
    entry: Kept<string>;
    revision: Kept<number>;
    kind: Kept<"reference" | "readout" | "source">;
    description: Kept<string>;
    serial: Kept<string>;
    due: Kept<string | null>;
    text: Kept<string>;
    saved: Kept<string>;
    author: Kept<string>;
    reason: Kept<string | null>;
  };
  kit_findings: {
    number: Kept<number>;
    entry: Kept<string>;
    kind: Kept<string>;
    at: Kept<string>;
    author: Kept<string>;
    document: Kept<string>;
    saved: Kept<string>;
  };
  run_kit: {
    number: Kept<number>;
    kind: Kept<"reference" | "readout" | "source">;
    entry: Kept<string>;
    serial: Kept<string>;
    revision: Kept<number>;
  };
  instrument_revisions: {
    name: Kept<string>;
    revision: Kept<number>;
    entry: Kept<string>;
    role: Kept<"readout" | "source" | "item">;
    at: Kept<string>;
    said: Kept<string>;
    answered: Kept<string>;
    kept: Kept<number>;
    saved: Kept<string>;
  };
  certificates: {
    sequence: Kept<number>;
    number: Kept<string>;
    run: Kept<number>;
    issued: Kept<string>;
    authorised_by: Kept<string>;
    decision: Kept<Decision | null>;
    lines: Kept<number>;
    head: Kept<string>;
    terms: Kept<string | null>;
    amends: Kept<number | null>;
    reason: Kept<string | null>;
  };
  certificate_withdrawals: {
    sequence: Kept<number>;
    at: Kept<string>;
    by: Kept<string>;
    reason: Kept<string>;
  };
  certificate_files: {
    sequence: Kept<number>;
    kind: Kept<"pdf" | "xml">;
    sha256: Kept<string>;
    bytes: Kept<Uint8Array>;
  };
  settings: { name: Kept<string>; value: string };
}
