-- +goose Up
-- What a release rests on: when and as what a lot was bottled, decisions about
-- it, statements of conformity, and checks of instruments. Times, lists and
-- checksums are as in the first step.

-- One row a lot that has more to tell than the table lot holds.
CREATE TABLE lot_detail (
    lot_id     TEXT PRIMARY KEY REFERENCES lot (id),
    product    TEXT NOT NULL,
    bottled_at TEXT,
    body       TEXT NOT NULL, -- what else is said of the lot
    checksum   BIGINT NOT NULL
);

CREATE TABLE lot_decision (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    lot_id      TEXT NOT NULL REFERENCES lot (id),
    decision    TEXT NOT NULL CHECK (decision IN ('released', 'held', 'rejected')),
    body        TEXT NOT NULL, -- who, when, why, by which verdicts
    recorded_at TEXT NOT NULL,
    checksum    BIGINT NOT NULL
);
CREATE INDEX lot_decision_of_lot ON lot_decision (lot_id, id);

-- The register: each statement is chained to the one before it.
CREATE TABLE statement (
    statement_no    BIGINT PRIMARY KEY CHECK (statement_no >= 1),
    lot_id          TEXT NOT NULL REFERENCES lot (id),
    verdict_id      TEXT NOT NULL REFERENCES lot_verdict (id),
    content         TEXT NOT NULL, -- JSON, byte by byte what the checksum is over
    previous_sha256 TEXT NOT NULL CHECK (length(previous_sha256) IN (0, 64)),
    sha256          TEXT NOT NULL UNIQUE CHECK (length(sha256) = 64),
    issued_at       TEXT NOT NULL,
    checksum        BIGINT NOT NULL
);
CREATE INDEX statement_of_lot ON statement (lot_id, statement_no);

CREATE TABLE instrument_check (
    id             TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    instrument     TEXT NOT NULL CHECK (length(trim(instrument)) > 0),
    instrument_key TEXT NOT NULL, -- the name as readings are matched to it
    kind           TEXT NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
    counts_from    TEXT NOT NULL, -- checked_at, or else recorded_at
    passed         BIGINT NOT NULL CHECK (passed IN (0, 1)),
    body           TEXT NOT NULL, -- what was read, of what, by whom, and when it is due again
    recorded_at    TEXT NOT NULL,
    checksum       BIGINT NOT NULL
);
CREATE INDEX instrument_check_by_time ON instrument_check (instrument_key, kind, counts_from, id);
