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
, dtr_low INTEGER NOT NULL DEFAULT 0 CHECK (dtr_low IN (0, 1)), rts_low INTEGER NOT NULL DEFAULT 0 CHECK (rts_low IN (0, 1)), fingerprint TEXT CHECK (fingerprint IS NULL OR json_valid(fingerprint))) STRICT;
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
CREATE UNIQUE INDEX event_answer ON event (run, question) WHERE kind = 'answered';
CREATE INDEX event_run ON event (run);
CREATE INDEX event_printer ON event (printer);
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
CREATE TABLE access (                -- phones that were paired, and tokens of scripts
  n       INTEGER PRIMARY KEY AUTOINCREMENT, -- never given twice, so that an old id means nobody
  id      TEXT    NOT NULL UNIQUE,   -- "a" and n
  name    TEXT    NOT NULL UNIQUE,   -- what the logbook calls its holder
  kind    TEXT    NOT NULL CHECK (kind IN ('phone', 'token')),
  may     TEXT    NOT NULL CHECK (may IN ('watch', 'operate')),
  hash    BLOB    NOT NULL UNIQUE CHECK (length(hash) = 32), -- SHA-256 of the key
  made_ms INTEGER NOT NULL,
  used_ms INTEGER                    -- when it was last used, to the hour, by a clock that was trusted; NULL: none was
) STRICT;
CREATE TABLE pairing (               -- the window in which a phone can be paired, while it is open
  one        INTEGER PRIMARY KEY CHECK (one = 1),
  id         TEXT    NOT NULL,       -- random; hashed with the code and the key
  code_hash  BLOB    NOT NULL CHECK (length(code_hash) = 32),
  key_hash   BLOB    NOT NULL CHECK (length(key_hash) = 32),
  may        TEXT    NOT NULL CHECK (may IN ('watch', 'operate')), -- what the phone will be allowed
  tries_left INTEGER NOT NULL CHECK (tries_left >= 0)
) STRICT;
-- rows
INSERT INTO store (one, id, schema, made_ms) VALUES (1, 'OW3FPELZTP3BPDZLKYK5M5T2QC', 3, 1795631669718);
INSERT INTO boot (n, id, opened_ms, zero_ms) VALUES (1, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 1795631669723, NULL);
INSERT INTO printer (id, name, port, baud, added_ms, dtr_low, rts_low, fingerprint) VALUES ('p1', 'Invented one', '/dev/serial/by-id/invented', 115200, 1795631669724, 0, 0, '{"firmware":"Invented 1.0","machine":"Invented","uuid":"0-1"}');
INSERT INTO setup (printer, version, made_ms, body) VALUES ('p1', 1, 1795631669724, '{"version":1,"drive":"direct","filament_diameter_mm":1.75,"nozzle_bore_mm":0,"liner":"","nozzle_max_c":260,"bed_max_c":0,"feed_max_mm_per_s":0,"build_x_mm":0,"build_y_mm":0,"build_z_mm":0}');
INSERT INTO material (id, name, body) VALUES ('m1', 'Invented material', '{"id":"m1","name":"Invented material","nozzle_c":210,"nozzle_min_c":0,"nozzle_max_c":0,"bed_c":0,"flexible":false,"invented":true}');
INSERT INTO run (n, id, printer, routine, program, state, who, from_run, cause, begun_ms, ended_ms, begin, finding, wire_tail) VALUES (1, 'r1', 'p1', 'feed_check', '1', 'finished', 'Ada', NULL, NULL, 1795631669725, 1795631669732, '{"inputs":{}}', '{"kind":"change"}', X'3E204D3530330A');
INSERT INTO event (seq, run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body) VALUES (1, 'r1', 'p1', 'run_begun', '', 'Ada', NULL, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 12, 1795631669725, 0, NULL);
INSERT INTO event (seq, run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body) VALUES (2, 'r1', 'p1', 'asked', 'leftover 1', NULL, 1, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 16, 1795631669728, 0, '{"name":"leftover 1"}');
INSERT INTO event (seq, run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body) VALUES (3, 'r1', 'p1', 'answered', 'leftover 1', 'Ada', 1, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 17, 1795631669729, 0, '{"leftover_mm":23.4}');
INSERT INTO event (seq, run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body) VALUES (4, 'r1', 'p1', 'run_ended', '', NULL, NULL, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 20, 1795631669732, 0, NULL);
INSERT INTO event (seq, run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body) VALUES (5, 'r1', 'p1', 'run_ended', '', NULL, NULL, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 21, 1795631669734, 0, NULL);
INSERT INTO event (seq, run, printer, kind, name, who, question, boot, mono_ms, wall_ms, wall_trusted, body) VALUES (6, NULL, NULL, 'access given', 'Ada''s phone', 'Ada''s phone', NULL, 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 30, 1795631669742, 0, '{"id":"a1","name":"Ada''s phone","kind":"phone","right":"operate","made_ms":1795631669742}');
INSERT INTO entry (id, seq, run, printer, setup, material, who, kind, value, unit, u95, standing, supersedes, body) VALUES (1, 4, 'r1', 'p1', 1, 'm1', 'Ada', 'steps_per_mm', 95.88, 'steps/mm', NULL, NULL, NULL, NULL);
INSERT INTO entry (id, seq, run, printer, setup, material, who, kind, value, unit, u95, standing, supersedes, body) VALUES (2, 5, 'r1', 'p1', 1, 'm1', 'Ada', 'steps_per_mm', 95.88, 'steps/mm', NULL, NULL, 1, NULL);
INSERT INTO owed (printer, what, restore, keep_if, run, since_ms) VALUES ('p1', 'heat', '["M104 S0"]', NULL, 'r1', 1795631669728);
INSERT INTO idempotency (n, key, fingerprint, boot, ran_ms, status, content_type, body) VALUES (1, 'k', 'POST a', 'ROVP3L36SFFXSZSYFI5UZ7SVFM', 25, 201, 'application/json', X'7B226964223A227231227D');
INSERT INTO access (n, id, name, kind, may, hash, made_ms, used_ms) VALUES (1, 'a1', 'Ada''s phone', 'phone', 'operate', X'0100000000000000000000000000000000000000000000000000000000000000', 1795631669742, NULL);
INSERT INTO pairing (one, id, code_hash, key_hash, may, tries_left) VALUES (1, 'w1', X'0200000000000000000000000000000000000000000000000000000000000000', X'0300000000000000000000000000000000000000000000000000000000000000', 'watch', 5);
