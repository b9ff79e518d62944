/** Version 2: instruments that were tried at an address and are kept under a name. Frozen, as every version is. */
export const instruments = `
-- Nothing is overwritten: what is known anew of an instrument is its next revision, and so is that it was let go (kept 0).
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
CREATE TRIGGER instrument_revisions_keep_update BEFORE UPDATE ON instrument_revisions BEGIN SELECT RAISE(ABORT, 'instrument_revisions is append-only'); END;
CREATE TRIGGER instrument_revisions_keep_delete BEFORE DELETE ON instrument_revisions BEGIN SELECT RAISE(ABORT, 'instrument_revisions is append-only'); END;
`;
