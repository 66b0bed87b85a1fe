-- +goose Up
-- Who may come in from other machines: devices that were paired, and the keys of
-- links by which further ones are. Sessions and keys are kept as SHA-256 alone, so
-- that whoever reads the database cannot come in by it. A row is there as long as
-- it lets somebody in.

CREATE TABLE device (
    id             TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    name           TEXT NOT NULL CHECK (length(trim(name)) > 0),
    session_sha256 TEXT NOT NULL UNIQUE CHECK (length(session_sha256) = 64),
    paired_at      TEXT NOT NULL,
    used_at        TEXT NOT NULL, -- to the minute or so
    address        TEXT NOT NULL, -- that it was last used from
    checksum       BIGINT NOT NULL -- over all but the last use
);

CREATE TABLE pairing_key (
    key_sha256 TEXT PRIMARY KEY CHECK (length(key_sha256) = 64),
    made_at    TEXT NOT NULL,
    until      TEXT NOT NULL,
    checksum   BIGINT NOT NULL
);
