/**
 * Version 1 of the records. Frozen: a database of this version exists outside. What changes later is a migration of its
 * own, and no migration may use the query code of today, which knows only the newest tables.
 */
const appendOnly = (table: string): string => `
CREATE TRIGGER ${table}_keep_update BEFORE UPDATE ON ${table} BEGIN SELECT RAISE(ABORT, '${table} is append-only'); END;
CREATE TRIGGER ${table}_keep_delete BEFORE DELETE ON ${table} BEGIN SELECT RAISE(ABORT, '${table} is append-only'); END;
`;

export const first = `
-- One row a run, taken from its run-opened event. number is the order of opening here; words is all that a run can be
-- found by, in small letters without accents.
CREATE TABLE runs (
  number INTEGER PRIMARY KEY,
  run TEXT NOT NULL UNIQUE,
  job TEXT NOT NULL,
  title TEXT NOT NULL,
  customer TEXT NOT NULL,
  place TEXT NOT NULL,
  technician TEXT NOT NULL,
  opened TEXT NOT NULL,
  rehearsal INTEGER NOT NULL CHECK (rehearsal IN (0, 1)),
  items TEXT NOT NULL,
  stops INTEGER NOT NULL,
  words TEXT NOT NULL
) STRICT;
CREATE INDEX runs_by_job ON runs (job, number);
${appendOnly("runs")}

-- The run log. text is canonical JSON; hash is SHA-256 of the predecessor's hash followed by text.
CREATE TABLE run_events (
  number INTEGER NOT NULL REFERENCES runs (number),
  n INTEGER NOT NULL,
  kind TEXT NOT NULL,
  at REAL NOT NULL,
  text TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  PRIMARY KEY (number, n)
) STRICT;
CREATE INDEX run_events_that_move ON run_events (number, n)
  WHERE kind IN ('point-measured', 'point-repeated', 'point-skipped', 'run-paused', 'run-resumed', 'run-ended');
CREATE TRIGGER run_events_gapless BEFORE INSERT ON run_events
  WHEN NEW.n <> (SELECT coalesce(max(n) + 1, 0) FROM run_events WHERE number = NEW.number)
  BEGIN SELECT RAISE(ABORT, 'run_events is numbered without a gap'); END;
${appendOnly("run_events")}

-- What lists show of a run: follows from run_events, and is worked out anew from them at will.
CREATE TABLE run_states (
  number INTEGER PRIMARY KEY REFERENCES runs (number),
  events INTEGER NOT NULL,
  last_at REAL NOT NULL,
  head TEXT NOT NULL,
  measured INTEGER NOT NULL,
  paused INTEGER NOT NULL CHECK (paused IN (0, 1)),
  outcome TEXT,
  decision TEXT
) STRICT;
CREATE INDEX run_states_by_outcome ON run_states (outcome, number);
CREATE INDEX run_states_by_decision ON run_states (decision, number);

CREATE TABLE run_items (
  number INTEGER NOT NULL REFERENCES runs (number),
  item TEXT NOT NULL,
  tag TEXT NOT NULL,
  serial TEXT NOT NULL,
  PRIMARY KEY (number, item)
) STRICT, WITHOUT ROWID;
CREATE INDEX run_items_by_item ON run_items (item, number);
CREATE INDEX run_items_by_serial ON run_items (serial, number);
${appendOnly("run_items")}

-- Every three letters of the words.
CREATE VIRTUAL TABLE run_search USING fts5 (words, content = 'runs', content_rowid = 'number', tokenize = 'trigram');

-- text is the checked job as canonical JSON; source is the file as it was given, where there was one.
CREATE TABLE job_revisions (
  job TEXT NOT NULL,
  revision INTEGER NOT NULL,
  title TEXT NOT NULL,
  customer TEXT NOT NULL,
  text TEXT NOT NULL,
  source TEXT,
  saved TEXT NOT NULL,
  PRIMARY KEY (job, revision)
) STRICT;
${appendOnly("job_revisions")}

CREATE TABLE item_revisions (
  item TEXT NOT NULL,
  revision INTEGER NOT NULL,
  tag TEXT NOT NULL,
  serial TEXT NOT NULL,
  description TEXT NOT NULL,
  text TEXT NOT NULL,
  saved TEXT NOT NULL,
  PRIMARY KEY (item, revision)
) STRICT;
${appendOnly("item_revisions")}

CREATE TABLE kit_revisions (
  entry TEXT NOT NULL,
  revision INTEGER NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('reference', 'readout', 'source')),
  description TEXT NOT NULL,
  serial TEXT NOT NULL,
  due TEXT,
  text TEXT NOT NULL,
  saved TEXT NOT NULL,
  PRIMARY KEY (entry, revision)
) STRICT;
${appendOnly("kit_revisions")}

-- sequence counts the certificates of these records from 1 without a gap. lines and head say what log was certified.
CREATE TABLE certificates (
  sequence INTEGER PRIMARY KEY,
  number TEXT NOT NULL UNIQUE,
  run INTEGER NOT NULL REFERENCES runs (number),
  issued TEXT NOT NULL,
  authorised_by TEXT NOT NULL,
  decision TEXT CHECK (decision IN ('pass', 'conditional-pass', 'undecided', 'conditional-fail', 'fail')),
  lines INTEGER NOT NULL,
  head TEXT NOT NULL CHECK (length(head) = 64)
) STRICT;
CREATE INDEX certificates_by_run ON certificates (run, sequence);
CREATE TRIGGER certificates_gapless BEFORE INSERT ON certificates
  WHEN NEW.sequence <> (SELECT coalesce(max(sequence) + 1, 1) FROM certificates)
  BEGIN SELECT RAISE(ABORT, 'certificates is numbered without a gap'); END;
${appendOnly("certificates")}

CREATE TABLE certificate_files (
  sequence INTEGER NOT NULL REFERENCES certificates (sequence),
  kind TEXT NOT NULL CHECK (kind IN ('pdf', 'xml')),
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64),
  bytes BLOB NOT NULL,
  PRIMARY KEY (sequence, kind)
) STRICT;
${appendOnly("certificate_files")}

-- How the station is set up: the one thing here that is overwritten.
CREATE TABLE settings (
  name TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
`;
