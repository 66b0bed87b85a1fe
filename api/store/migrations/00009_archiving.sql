-- +goose Up
-- Why and when wines and readings were archived, and brought back: a row for each
-- time, so that none of it is lost when a record is archived and brought back again.
-- What counts now stands in the record itself.

CREATE TABLE archiving (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    wine_id     TEXT NOT NULL REFERENCES wine (id),
    reading_id  TEXT REFERENCES reading (id), -- NULL where it was the wine itself
    archived    BIGINT NOT NULL CHECK (archived IN (0, 1)), -- 0: it was brought back
    reason      TEXT NOT NULL,
    recorded_at TEXT NOT NULL,
    checksum    BIGINT NOT NULL
);
CREATE INDEX archiving_of_wine ON archiving (wine_id, id);
