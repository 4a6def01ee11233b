-- Schema 3: how a port is opened, and who answers on it.

ALTER TABLE printer ADD COLUMN dtr_low INTEGER NOT NULL DEFAULT 0 CHECK (dtr_low IN (0, 1)); -- 1: lowered when the port is opened
ALTER TABLE printer ADD COLUMN rts_low INTEGER NOT NULL DEFAULT 0 CHECK (rts_low IN (0, 1));
ALTER TABLE printer ADD COLUMN fingerprint TEXT CHECK (fingerprint IS NULL OR json_valid(fingerprint)); -- what it said of itself; NULL: never met
