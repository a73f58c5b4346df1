-- The records and what this file is. Nothing that stands in `records` is ever changed or taken away.

PRAGMA application_id = 1819242349; -- "loom"

-- robot, begun_at; origin: what this laptop writes as; file: which file that origin was given to.
CREATE TABLE meta (
  name TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- `arrival` counts records in the order in which this file got them; `line` is the whole record.
CREATE TABLE records (
  arrival INTEGER PRIMARY KEY AUTOINCREMENT,
  origin TEXT NOT NULL,
  sequence INTEGER NOT NULL CHECK (sequence >= 1),
  key TEXT NOT NULL,
  before TEXT NOT NULL,
  hash TEXT NOT NULL,
  line TEXT NOT NULL,
  UNIQUE (origin, sequence),
  UNIQUE (origin, key)
) STRICT;

CREATE INDEX records_by_key ON records (key);

CREATE TRIGGER records_are_never_changed BEFORE UPDATE ON records
BEGIN
  SELECT RAISE(ABORT, 'records are never changed');
END;

CREATE TRIGGER records_are_never_removed BEFORE DELETE ON records
BEGIN
  SELECT RAISE(ABORT, 'records are never removed');
END;

-- INSERT OR REPLACE removes the old row without a word to the trigger above.
CREATE TRIGGER records_are_never_replaced BEFORE INSERT ON records
WHEN EXISTS (SELECT 1 FROM records WHERE arrival = NEW.arrival)
  OR EXISTS (SELECT 1 FROM records WHERE origin = NEW.origin AND sequence = NEW.sequence)
  OR EXISTS (SELECT 1 FROM records WHERE origin = NEW.origin AND key = NEW.key)
BEGIN
  SELECT RAISE(ABORT, 'records are never replaced');
END;

CREATE TRIGGER records_continue_their_chain BEFORE INSERT ON records
WHEN NEW.before IS NOT CASE NEW.sequence
  WHEN 1 THEN '0000000000000000000000000000000000000000000000000000000000000000'
  ELSE (SELECT hash FROM records WHERE origin = NEW.origin AND sequence = NEW.sequence - 1)
END
BEGIN
  SELECT RAISE(ABORT, 'records continue the chain of their origin');
END;
