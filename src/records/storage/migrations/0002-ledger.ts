import { createHash, randomBytes } from "node:crypto";
import type { Database } from "better-sqlite3";
import { canonicalJson } from "../../chain/canonical-json.ts";

const appendOnly = (table: string): string => `
CREATE TRIGGER ${table}_keep_update BEFORE UPDATE ON ${table} BEGIN SELECT RAISE(ABORT, '${table} is append-only'); END;
CREATE TRIGGER ${table}_keep_delete BEFORE DELETE ON ${table} BEGIN SELECT RAISE(ABORT, '${table} is append-only'); END;
`;

/** A row of `table` goes only when a block holds it: sealing is the one removal there is. */
const sealable = (table: string, key: string, count: string, blocks: string): string => `
CREATE TRIGGER ${table}_gapless BEFORE INSERT ON ${table}
  WHEN NEW.${count} <> coalesce(
    (SELECT max(${count}) + 1 FROM ${table} WHERE ${key} = NEW.${key}),
    (SELECT max(last) + 1 FROM ${blocks} WHERE ${key} = NEW.${key}), 0)
  BEGIN SELECT RAISE(ABORT, '${table} is numbered without a gap'); END;
CREATE TRIGGER ${table}_keep_delete BEFORE DELETE ON ${table}
  WHEN NOT EXISTS (SELECT 1 FROM ${blocks} WHERE ${key} = OLD.${key} AND OLD.${count} BETWEEN first AND last)
  BEGIN SELECT RAISE(ABORT, '${table} is append-only'); END;
CREATE TRIGGER ${blocks}_gapless BEFORE INSERT ON ${blocks}
  WHEN NEW.first <> (SELECT coalesce(max(last) + 1, 0) FROM ${blocks} WHERE ${key} = NEW.${key}) OR NEW.last < NEW.first
    OR NOT EXISTS (SELECT 1 FROM ${table} WHERE ${key} = NEW.${key} AND ${count} = NEW.first)
    OR NOT EXISTS (SELECT 1 FROM ${table} WHERE ${key} = NEW.${key} AND ${count} = NEW.last AND hash = NEW.hash)
  BEGIN SELECT RAISE(ABORT, '${blocks} is numbered without a gap'); END;
${appendOnly(blocks)}
`;

const tables = `
-- Whose records these are.
CREATE TABLE this_station (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  station TEXT NOT NULL
) STRICT;
${appendOnly("this_station")}

-- The one sequence of everything that is recorded. text is the entry as canonical JSON, the hash of its predecessor in it;
-- hash is the SHA-256 of text. Every other table follows from it, but for what it names by hash: the lines of the runs' logs
-- and the bytes of the certificates.
CREATE TABLE ledger (
  station TEXT NOT NULL,
  number INTEGER NOT NULL,
  text TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  PRIMARY KEY (station, number)
) STRICT;
CREATE TRIGGER ledger_keep_update BEFORE UPDATE ON ledger BEGIN SELECT RAISE(ABORT, 'ledger is append-only'); END;

-- Older entries, and older lines of logs, in compact blocks. hash is that of the last one in the block, sum the SHA-256 of bytes.
CREATE TABLE ledger_segments (
  station TEXT NOT NULL,
  first INTEGER NOT NULL,
  last INTEGER NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  sum TEXT NOT NULL CHECK (length(sum) = 64),
  bytes BLOB NOT NULL,
  PRIMARY KEY (station, first)
) STRICT;
CREATE UNIQUE INDEX ledger_segments_by_last ON ledger_segments (station, last);
${sealable("ledger", "station", "number", "ledger_segments")}

CREATE TABLE run_segments (
  number INTEGER NOT NULL REFERENCES runs (number),
  first INTEGER NOT NULL,
  last INTEGER NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  sum TEXT NOT NULL CHECK (length(sum) = 64),
  bytes BLOB NOT NULL,
  PRIMARY KEY (number, first)
) STRICT;
CREATE UNIQUE INDEX run_segments_by_last ON run_segments (number, last);
DROP TRIGGER run_events_gapless;
DROP TRIGGER run_events_keep_delete;
DROP INDEX run_events_that_move;
${sealable("run_events", "number", "n", "run_segments")}

`;

/** What came with it. */
const registers = `
-- Instruments that were tried at an address. Nothing is overwritten: what is known anew of one is its next revision, and so
-- is that it was let go (kept 0).
CREATE TABLE instrument_revisions (
  name TEXT NOT NULL,
  revision INTEGER NOT NULL,
  entry TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('readout', 'source', 'item')),
  at TEXT NOT NULL,
  said TEXT NOT NULL,
  answered TEXT NOT NULL,
  kept INTEGER NOT NULL CHECK (kept IN (0, 1)),
  saved TEXT NOT NULL,
  PRIMARY KEY (name, revision)
) STRICT;
${appendOnly("instrument_revisions")}

-- Who revised a kit entry, and why.
ALTER TABLE kit_revisions ADD COLUMN author TEXT NOT NULL DEFAULT 'taken over from version 1';
ALTER TABLE kit_revisions ADD COLUMN reason TEXT;

-- What the upkeep of a kit entry found, as the document that its maker writes.
CREATE TABLE kit_findings (
  number INTEGER PRIMARY KEY,
  entry TEXT NOT NULL,
  kind TEXT NOT NULL,
  at TEXT NOT NULL,
  author TEXT NOT NULL,
  document TEXT NOT NULL,
  saved TEXT NOT NULL
) STRICT;
CREATE INDEX kit_findings_by_entry ON kit_findings (entry, kind, number);
${appendOnly("kit_findings")}

-- With what each run was made: the kit that it was opened with, and what was put in its place.
CREATE TABLE run_kit (
  number INTEGER NOT NULL REFERENCES runs (number),
  kind TEXT NOT NULL CHECK (kind IN ('reference', 'readout', 'source')),
  entry TEXT NOT NULL,
  serial TEXT NOT NULL,
  revision INTEGER NOT NULL,
  PRIMARY KEY (number, kind, entry, revision)
) STRICT, WITHOUT ROWID;
CREATE INDEX run_kit_by_serial ON run_kit (kind, serial, number);
${appendOnly("run_kit")}

-- On what terms a certificate was issued, as its maker writes them; which one it stands in place of, and why.
ALTER TABLE certificates ADD COLUMN terms TEXT;
ALTER TABLE certificates ADD COLUMN amends INTEGER REFERENCES certificates (sequence);
ALTER TABLE certificates ADD COLUMN reason TEXT;
CREATE UNIQUE INDEX certificates_by_amended ON certificates (amends) WHERE amends IS NOT NULL;

CREATE TABLE certificate_withdrawals (
  sequence INTEGER PRIMARY KEY REFERENCES certificates (sequence),
  at TEXT NOT NULL,
  by TEXT NOT NULL,
  reason TEXT NOT NULL
) STRICT;
${appendOnly("certificate_withdrawals")}
`;

const takenOver = "taken over from version 1";

interface Entry {
  readonly kind: string;
  readonly author: string;
  readonly body: object;
}

type Row = Record<string, string | number | null>;

const parsed = (text: unknown): object => JSON.parse(String(text)) as object;

/** What version 1 recorded, as entries in an order in which each finds what it speaks of. */
function* earlier(database: Database): Generator<Omit<Entry, "author">> {
  const all = (statement: string): Row[] => database.prepare<[], Row>(statement).all();
  for (const { text, revision, saved } of all("SELECT text, revision, saved FROM item_revisions ORDER BY rowid"))
    yield { kind: "item-revised", body: { item: parsed(text), revision, saved } };
  for (const { kind, text, saved } of all("SELECT kind, text, saved FROM kit_revisions ORDER BY rowid"))
    yield { kind: "kit-revised", body: { kind, entry: parsed(text), saved } };
  for (const { text, revision, source, saved } of all("SELECT * FROM job_revisions ORDER BY rowid"))
    yield { kind: "job-revised", body: { job: parsed(text), revision, source, saved } };
  for (const { run, events, head, decision } of all(
    "SELECT run, events, head, decision FROM runs JOIN run_states USING (number) ORDER BY number",
  )) {
    yield { kind: "run-events", body: { run, from: 0, to: Number(events) - 1, head } };
    if (decision !== null) yield { kind: "run-judged", body: { run, decision } };
  }
  for (const { sequence, files, authorised_by: author, ...told } of all(
    `SELECT sequence, certificates.number, runs.run, issued, decision, lines, head, authorised_by,
       (SELECT json_group_object(kind, sha256) FROM certificate_files AS file WHERE file.sequence = certificates.sequence) AS files
     FROM certificates JOIN runs ON runs.number = certificates.run ORDER BY sequence`,
  ))
    yield { kind: "certificate-issued", body: { sequence, ...told, files: parsed(files), authorisedBy: author } };
  for (const { name, value } of all("SELECT name, value FROM settings ORDER BY name"))
    yield { kind: "setting-changed", body: { name, value: JSON.parse(String(value)) } };
}

/** The station's ledger, with what version 1 recorded as its first entries. */
const begin = (database: Database, at: string): void => {
  const station = randomBytes(8).toString("hex");
  database.prepare("INSERT INTO this_station VALUES (1, ?)").run(station);
  const insert = database.prepare("INSERT INTO ledger VALUES (?, ?, ?, ?)");
  let predecessor = "0".repeat(64);
  let number = 0;
  const enter = (entry: Entry): void => {
    const text = canonicalJson({ ...entry, station, number, at, predecessor });
    predecessor = createHash("sha256").update(text, "utf8").digest("hex");
    insert.run(station, number, text, predecessor);
    number += 1;
  };
  enter({ kind: "ledger-begun", author: "dwellpoint", body: { format: "dwellpoint-ledger/1" } });
  for (const entry of earlier(database)) enter({ ...entry, author: takenOver });
};

/** The kit of the runs of version 1. */
const kitOfRuns = (database: Database): void => {
  const insert = database.prepare("INSERT OR IGNORE INTO run_kit VALUES (?, ?, ?, ?, ?)");
  const events = database.prepare<[], { number: number; text: string }>(
    "SELECT number, text FROM run_events WHERE kind IN ('run-opened', 'kit-replaced') ORDER BY number, n",
  );
  type Entry = { readonly id: string; readonly serial: string; readonly revision: number };
  type Kit = Readonly<Partial<Record<"reference" | "readout" | "source", Entry>>>;
  const rows = events.all().flatMap(({ number, text }) => {
    const event = JSON.parse(text) as Kit & { readonly job?: { readonly kit: Kit } };
    const kit = event.job?.kit ?? event;
    return (["reference", "readout", "source"] as const).flatMap((kind) => {
      const entry = kit[kind];
      return entry === undefined ? [] : [[number, kind, entry.id, entry.serial, entry.revision] as const];
    });
  });
  for (const row of rows) insert.run(...row);
};

/**
 * Version 2: the ledger, compact blocks, instruments, findings, the kit of each run, amended and withdrawn certificates.
 * Frozen, as every version is. Without `now` the records come from elsewhere, and no ledger is begun.
 */
export const ledger = (database: Database, now: (() => string) | null): void => {
  database.exec(tables);
  database.exec(registers);
  kitOfRuns(database);
  if (now !== null) begin(database, now());
};
