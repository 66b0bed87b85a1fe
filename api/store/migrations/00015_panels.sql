-- +goose Up
-- Panels: blind sessions on the glasses of a trial, with their judges and what
-- they answered. Times, lists and checksums are as in the first step.

CREATE TABLE panel (
    id         TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    trial_id   TEXT NOT NULL REFERENCES trial (id),
    setup      TEXT NOT NULL, -- what is asked how, and the glasses with their codes and the doses that they held then
    created_at TEXT NOT NULL,
    checksum   BIGINT NOT NULL
);
CREATE INDEX panel_of_trial ON panel (trial_id, id);

CREATE TABLE panel_judge (
    id       TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    panel_id TEXT NOT NULL REFERENCES panel (id),
    judge_no BIGINT NOT NULL CHECK (judge_no >= 1),
    body     TEXT NOT NULL, -- name, and codes in the order of serving
    added_at TEXT NOT NULL,
    checksum BIGINT NOT NULL,
    UNIQUE (panel_id, judge_no)
);

-- A judge hands in once; a correction is a further answer.
CREATE TABLE panel_answer (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    panel_id    TEXT NOT NULL REFERENCES panel (id),
    judge_id    TEXT NOT NULL REFERENCES panel_judge (id),
    answer_no   BIGINT NOT NULL CHECK (answer_no >= 1),
    source      TEXT NOT NULL CHECK (source IN ('link', 'sheet')),
    body        TEXT NOT NULL, -- ranks or scores, who typed them, what is corrected and why
    recorded_at TEXT NOT NULL,
    checksum    BIGINT NOT NULL,
    UNIQUE (judge_id, answer_no)
);
CREATE INDEX panel_answer_of_panel ON panel_answer (panel_id, id);

CREATE TABLE panel_closing (
    panel_id  TEXT PRIMARY KEY REFERENCES panel (id),
    body      TEXT NOT NULL, -- who was left out, who closed it, what there was to say
    closed_at TEXT NOT NULL,
    checksum  BIGINT NOT NULL
);

-- Which judge a link is for, one each. Keys are not stored, only their SHA-256.
-- Backups leave this table out: a link is good where it was given out.
CREATE TABLE panel_link (
    judge_id   TEXT PRIMARY KEY REFERENCES panel_judge (id),
    key_sha256 TEXT NOT NULL UNIQUE CHECK (length(key_sha256) = 64),
    made_at    TEXT NOT NULL,
    checksum   BIGINT NOT NULL
);
