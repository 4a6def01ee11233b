-- Schema 2: who may come in. A key itself is nowhere on the disk, only its SHA-256.

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
