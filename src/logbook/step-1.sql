-- The book's first form: lines of entries, and lists that are worked out from them.
CREATE TABLE book (
  one    INTEGER PRIMARY KEY CHECK (one = 1),
  -- The line that this book writes, and a hash of the place that it wrote from.
  line   INTEGER NOT NULL REFERENCES line (no) DEFERRABLE INITIALLY DEFERRED,
  place  TEXT NOT NULL
) STRICT;
CREATE TABLE line (
  no     INTEGER PRIMARY KEY,
  id     BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
  -- 1 where this book, here or in an earlier place, wrote it.
  own    INTEGER NOT NULL
) STRICT;
-- Salt and body go when a visit is forgotten; all else stays, so that the chain still holds.
CREATE TABLE entry (
  no     INTEGER PRIMARY KEY,
  line   INTEGER NOT NULL REFERENCES line (no),
  seq    INTEGER NOT NULL,
  prev   BLOB NOT NULL CHECK (length(prev) = 32),
  hash   BLOB NOT NULL CHECK (length(hash) = 32),
  kind   INTEGER NOT NULL,
  visit  BLOB CHECK (length(visit) = 16),
  n      INTEGER,
  sealed BLOB NOT NULL CHECK (length(sealed) = 32),
  salt   BLOB,
  body   TEXT,
  UNIQUE (line, seq)
) STRICT;
CREATE INDEX entry_visit ON entry (visit, kind, n) WHERE visit IS NOT NULL;
CREATE INDEX entry_kind ON entry (kind) WHERE kind NOT IN (1, 2);
-- Worked out from the entries, for lists; `check` holds it against them.
CREATE TABLE visit (
  id       BLOB PRIMARY KEY CHECK (length(id) = 16),
  record   TEXT NOT NULL COLLATE NOCASE,
  operator TEXT NOT NULL,
  reason   TEXT NOT NULL,
  opened   TEXT NOT NULL,
  at_ms    INTEGER NOT NULL,
  last     TEXT NOT NULL,
  events   INTEGER NOT NULL,
  closed   INTEGER NOT NULL,
  -- The day of the next test.
  due      TEXT
) STRICT, WITHOUT ROWID;
CREATE INDEX visit_at ON visit (at_ms DESC, id DESC);
CREATE INDEX visit_record ON visit (record, at_ms DESC, id DESC);
CREATE INDEX visit_open ON visit (at_ms DESC) WHERE closed = 0;
