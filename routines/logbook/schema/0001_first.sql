-- Schema 1. Times are whole milliseconds. Wall times are Unix time. An order is always by number, never by time.
-- Readable with the sqlite3 shell (3.38 or later); bodies are JSON, so  SELECT body ->> '$.leftover_mm' FROM event  works.

CREATE TABLE store (
  one      INTEGER PRIMARY KEY CHECK (one = 1), -- this table has one row
  id       TEXT    NOT NULL,                    -- random; another id means: forget every sequence number you know
  schema   INTEGER NOT NULL,                    -- the newest numbered file that was applied
  made_ms  INTEGER NOT NULL
) STRICT;

CREATE TABLE boot (
  n         INTEGER PRIMARY KEY,
  id        TEXT    NOT NULL UNIQUE, -- random, one for each life of the agent
  opened_ms INTEGER NOT NULL,        -- what the wall clock said, right or not
  zero_ms   INTEGER                  -- wall time at mono_ms = 0, learnt from the first trusted stamp; NULL until then
) STRICT;

CREATE TABLE printer (
  id       TEXT    PRIMARY KEY NOT NULL,
  name     TEXT    NOT NULL,
  port     TEXT    NOT NULL,         -- the stable name of the serial port
  baud     INTEGER NOT NULL,
  added_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE setup (                 -- what a printer is fitted with; a change is a new version
  printer TEXT    NOT NULL REFERENCES printer (id),
  version INTEGER NOT NULL,
  made_ms INTEGER NOT NULL,
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  PRIMARY KEY (printer, version)
) STRICT;

CREATE TABLE material (
  id   TEXT PRIMARY KEY NOT NULL,
  name TEXT NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body))
) STRICT;

CREATE TABLE run (
  n         INTEGER PRIMARY KEY,     -- in the order they began
  id        TEXT    NOT NULL UNIQUE, -- "r" and n
  printer   TEXT    NOT NULL REFERENCES printer (id),
  routine   TEXT    NOT NULL,
  program   TEXT    NOT NULL,        -- a run of another program is not resumed
  state     TEXT    NOT NULL,        -- underway, asking, finished, stopped, interrupted, failed
  who       TEXT,
  from_run  TEXT    REFERENCES run (id), -- the run whose facts were taken over
  cause     TEXT,                    -- why it ended, in words
  begun_ms  INTEGER NOT NULL,
  ended_ms  INTEGER,
  begin     TEXT    CHECK (begin IS NULL OR json_valid(begin)),   -- inputs, setup and material it holds to
  finding   TEXT    CHECK (finding IS NULL OR json_valid(finding)),
  wire_tail BLOB                     -- the last lines of the wire, where it did not finish
) STRICT;

-- One printer has one run at a time.
CREATE UNIQUE INDEX run_open ON run (printer) WHERE state IN ('underway', 'asking');
CREATE INDEX run_printer ON run (printer);

CREATE TABLE event (                 -- what happened; never changed, never removed
  seq          INTEGER PRIMARY KEY AUTOINCREMENT, -- the one order of everything; a number is never given twice
  run          TEXT    REFERENCES run (id),
  printer      TEXT    REFERENCES printer (id),
  kind         TEXT    NOT NULL,     -- asked, answered, begun, done, cooled, whole, taken_back, ...
  name         TEXT    NOT NULL,
  who          TEXT,
  question     INTEGER,
  boot         TEXT    NOT NULL REFERENCES boot (id),
  mono_ms      INTEGER NOT NULL,     -- since the store was opened in that boot; never jumps
  wall_ms      INTEGER NOT NULL,     -- what the wall clock said
  wall_trusted INTEGER NOT NULL CHECK (wall_trusted IN (0, 1)), -- 0: nobody vouches for wall_ms
  body         TEXT    CHECK (body IS NULL OR json_valid(body))
) STRICT;

-- A question has at most one answer.
CREATE UNIQUE INDEX event_answer ON event (run, question) WHERE kind = 'answered';
CREATE INDEX event_run ON event (run);
CREATE INDEX event_printer ON event (printer);

-- Events with the best wall time there is: one from before the clock was set is dated from the same boot's zero.
CREATE VIEW event_dated AS
SELECT e.seq, e.run, e.printer, e.kind, e.name, e.who, e.question, e.boot, e.mono_ms,
       CASE WHEN e.wall_trusted = 1 THEN e.wall_ms ELSE coalesce(b.zero_ms + e.mono_ms, e.wall_ms) END AS wall_ms,
       CASE WHEN e.wall_trusted = 1 OR b.zero_ms IS NOT NULL THEN 1 ELSE 0 END AS wall_trusted,
       e.body
  FROM event e LEFT JOIN boot b ON b.id = e.boot;

CREATE TABLE entry (                 -- what was measured, decided or changed; never changed, only superseded
  id         INTEGER PRIMARY KEY AUTOINCREMENT,
  seq        INTEGER NOT NULL REFERENCES event (seq), -- the event it was stored with, which dates it
  run        TEXT    REFERENCES run (id),
  printer    TEXT    NOT NULL REFERENCES printer (id),
  setup      INTEGER,                -- version of the printer's setup
  material   TEXT    REFERENCES material (id),
  who        TEXT,
  kind       TEXT    NOT NULL,
  value      REAL,
  unit       TEXT,
  u95        REAL,                   -- expanded uncertainty at about 95 %
  standing   TEXT,
  supersedes INTEGER REFERENCES entry (id), -- the one before of the same printer, kind and material
  body       TEXT    CHECK (body IS NULL OR json_valid(body)),
  FOREIGN KEY (printer, setup) REFERENCES setup (printer, version)
) STRICT;

CREATE INDEX entry_line ON entry (printer, kind, material);
CREATE UNIQUE INDEX entry_supersedes ON entry (supersedes) WHERE supersedes IS NOT NULL;

-- The docket: what holds now.
CREATE VIEW docket AS
SELECT * FROM entry e WHERE NOT EXISTS (SELECT 1 FROM entry l WHERE l.supersedes = e.id);

CREATE TABLE owed (                  -- what a printer must be given back
  printer  TEXT    NOT NULL REFERENCES printer (id),
  what     TEXT    NOT NULL,
  restore  TEXT    NOT NULL CHECK (json_valid(restore)), -- the lines that give it back, a JSON list
  keep_if  TEXT,
  run      TEXT    REFERENCES run (id),
  since_ms INTEGER NOT NULL,
  PRIMARY KEY (printer, what)        -- owed again keeps the first row: that is what was found
) STRICT;

CREATE TABLE idempotency (           -- requests that must not be carried out twice
  n            INTEGER PRIMARY KEY,
  key          TEXT    NOT NULL UNIQUE,
  fingerprint  TEXT    NOT NULL,     -- of the whole request: the same key with another one is refused
  boot         TEXT    NOT NULL REFERENCES boot (id),
  ran_ms       INTEGER NOT NULL,     -- running time of all lives of the agent when it was claimed
  status       INTEGER,              -- NULL: not settled
  content_type TEXT,
  body         BLOB
) STRICT;

CREATE INDEX idempotency_ran ON idempotency (ran_ms);

CREATE TRIGGER event_unchanged BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END;
CREATE TRIGGER event_kept BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END;
CREATE TRIGGER event_unreplaced BEFORE INSERT ON event WHEN EXISTS (SELECT 1 FROM event WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'an event is never replaced'); END;
CREATE TRIGGER entry_unchanged BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed, only superseded'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never removed'); END;
CREATE TRIGGER entry_unreplaced BEFORE INSERT ON entry WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'an entry is never replaced'); END;
CREATE TRIGGER setup_unchanged BEFORE UPDATE ON setup
BEGIN SELECT RAISE(ABORT, 'a setup is never changed; make a new version'); END;
CREATE TRIGGER setup_kept BEFORE DELETE ON setup
BEGIN SELECT RAISE(ABORT, 'a setup is never removed'); END;
