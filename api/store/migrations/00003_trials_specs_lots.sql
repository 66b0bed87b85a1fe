-- +goose Up
-- Trials with their glasses and logs, specifications, lots with their samples
-- and verdicts. Times, lists and checksums are as in the first step.

CREATE TABLE trial (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    name        TEXT NOT NULL,
    base_ml     DOUBLE PRECISION NOT NULL CHECK (base_ml > 0 AND base_ml <= 100000),
    base_id     TEXT REFERENCES wine (id),
    addition_id TEXT REFERENCES wine (id),
    target_id   TEXT REFERENCES target (id),
    setup       TEXT NOT NULL, -- base, addition, target and conditions as they were when it began, and the readings used
    created_at  TEXT NOT NULL,
    archived_at TEXT,
    checksum    BIGINT NOT NULL
);

CREATE TABLE trial_glass (
    trial_id TEXT NOT NULL REFERENCES trial (id),
    glass    TEXT NOT NULL CHECK (length(trim(glass)) > 0),
    glass_no BIGINT NOT NULL CHECK (glass_no >= 1),
    checksum BIGINT NOT NULL,
    PRIMARY KEY (trial_id, glass),
    UNIQUE (trial_id, glass_no)
);

-- The log of a trial. The kinds are not listed here, so that a later step can
-- add one without making the table anew.
CREATE TABLE trial_entry (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    trial_id    TEXT NOT NULL REFERENCES trial (id),
    entry_no    BIGINT NOT NULL CHECK (entry_no >= 1),
    kind        TEXT NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
    glass       TEXT,
    volume_ml   DOUBLE PRECISION CHECK (volume_ml > 0),
    body        TEXT NOT NULL, -- what else is said: stated total, reason, person, tool, measurement
    sent_key    TEXT CHECK (length(sent_key) > 0),
    recorded_at TEXT NOT NULL,
    checksum    BIGINT NOT NULL,
    FOREIGN KEY (trial_id, glass) REFERENCES trial_glass (trial_id, glass),
    UNIQUE (trial_id, entry_no),
    UNIQUE (trial_id, sent_key),
    CHECK (kind NOT IN ('pour', 'withdrawal', 'measurement') OR glass IS NOT NULL),
    CHECK (kind NOT IN ('pour', 'withdrawal') OR volume_ml IS NOT NULL)
);

CREATE TABLE spec (
    id          TEXT NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    version     BIGINT NOT NULL CHECK (version >= 1),
    name        TEXT NOT NULL,
    target_id   TEXT REFERENCES target (id),
    body        TEXT NOT NULL, -- the specification with its conditions, target as it was when this was made, and the readings used
    created_at  TEXT NOT NULL,
    archived_at TEXT,
    checksum    BIGINT NOT NULL,
    PRIMARY KEY (id, version)
);

CREATE TABLE lot (
    id           TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    name         TEXT NOT NULL CHECK (length(trim(name)) > 0),
    spec_id      TEXT NOT NULL,
    spec_version BIGINT NOT NULL,
    wine_id      TEXT REFERENCES wine (id),
    created_at   TEXT NOT NULL,
    archived_at  TEXT,
    checksum     BIGINT NOT NULL,
    FOREIGN KEY (spec_id, spec_version) REFERENCES spec (id, version)
);

CREATE TABLE lot_sample (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    lot_id      TEXT NOT NULL REFERENCES lot (id),
    body        TEXT NOT NULL, -- what was read, and how
    recorded_at TEXT NOT NULL,
    checksum    BIGINT NOT NULL
);
CREATE INDEX lot_sample_of_lot ON lot_sample (lot_id, id);

-- A sample may be judged again, by another version of the specification: that
-- is another verdict.
CREATE TABLE lot_verdict (
    id           TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    sample_id    TEXT NOT NULL REFERENCES lot_sample (id),
    spec_id      TEXT NOT NULL,
    spec_version BIGINT NOT NULL,
    verdict      TEXT NOT NULL CHECK (verdict IN ('pass', 'fail', 'inconclusive')),
    answer       TEXT NOT NULL, -- the whole answer of the calculation
    program      TEXT NOT NULL, -- version of the program that gave it
    decided_at   TEXT NOT NULL,
    checksum     BIGINT NOT NULL,
    FOREIGN KEY (spec_id, spec_version) REFERENCES spec (id, version)
);
CREATE INDEX lot_verdict_of_sample ON lot_verdict (sample_id, id);
