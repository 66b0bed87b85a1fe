-- +goose Up
-- Times are text of fixed width in UTC (2026-11-25T14:30:00.000000Z), which
-- sorts as the times do in both kinds of database. Lists and what is never
-- searched are JSON text. checksum is over all other columns of its row.

CREATE TABLE wine (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    name        TEXT NOT NULL CHECK (length(trim(name)) > 0),
    name_key    TEXT NOT NULL, -- the name as files are matched to it
    kind        TEXT NOT NULL CHECK (kind IN ('white', 'rose', 'red', 'other')),
    lot         TEXT NOT NULL,
    vintage     BIGINT CHECK (vintage BETWEEN 1800 AND 2200),
    varieties   TEXT,
    stock_l     DOUBLE PRECISION CHECK (stock_l >= 0),
    notes       TEXT NOT NULL,
    version     BIGINT NOT NULL CHECK (version >= 1),
    created_at  TEXT NOT NULL,
    updated_at  TEXT NOT NULL,
    archived_at TEXT,
    checksum    BIGINT NOT NULL
);
CREATE INDEX wine_by_name ON wine (name_key, lot) WHERE archived_at IS NULL;

CREATE TABLE target (
    id          TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    name        TEXT NOT NULL CHECK (length(trim(name)) > 0),
    target      TEXT NOT NULL,
    conditions  TEXT,
    notes       TEXT NOT NULL,
    version     BIGINT NOT NULL CHECK (version >= 1),
    created_at  TEXT NOT NULL,
    updated_at  TEXT NOT NULL,
    archived_at TEXT,
    checksum    BIGINT NOT NULL
);

-- A file as it was sent, in pieces.
CREATE TABLE stored_file (
    sha256   TEXT PRIMARY KEY CHECK (length(sha256) = 64),
    bytes    BIGINT NOT NULL CHECK (bytes >= 0),
    pieces   BIGINT NOT NULL CHECK (pieces >= 0),
    checksum BIGINT NOT NULL
);
CREATE TABLE file_piece (
    sha256   TEXT NOT NULL REFERENCES stored_file (sha256),
    piece    BIGINT NOT NULL CHECK (piece >= 0),
    content  BYTEA NOT NULL,
    checksum BIGINT NOT NULL,
    PRIMARY KEY (sha256, piece)
);

CREATE TABLE file_import (
    id             TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    sha256         TEXT NOT NULL REFERENCES stored_file (sha256),
    file_name      TEXT NOT NULL,
    format         TEXT NOT NULL,
    layout         TEXT NOT NULL,
    settings       TEXT NOT NULL, -- sheet and mapping: what else decides how the file is read
    accepted       BIGINT NOT NULL CHECK (accepted >= 0),
    rejected       BIGINT NOT NULL CHECK (rejected >= 0),
    duplicates     BIGINT NOT NULL CHECK (duplicates >= 0),
    new_wines      BIGINT NOT NULL CHECK (new_wines >= 0),
    columns        TEXT NOT NULL,
    warnings       TEXT NOT NULL,
    all_or_nothing BIGINT NOT NULL CHECK (all_or_nothing IN (0, 1)),
    header         TEXT NOT NULL,
    imported_at    TEXT NOT NULL,
    checksum       BIGINT NOT NULL
);
CREATE INDEX file_import_by_file ON file_import (sha256);

CREATE TABLE reading (
    id                     TEXT PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    wine_id                TEXT NOT NULL REFERENCES wine (id),
    kind                   TEXT NOT NULL CHECK (kind IN ('readings', 'spectrum', 'cielab')),
    path_mm                DOUBLE PRECISION NOT NULL CHECK (path_mm > 0 AND path_mm <= 100),
    dilution               DOUBLE PRECISION NOT NULL CHECK (dilution >= 1 AND dilution <= 1000),
    u_absorbance           DOUBLE PRECISION CHECK (u_absorbance > 0 AND u_absorbance <= 0.5),
    a420                   DOUBLE PRECISION CHECK (a420 BETWEEN -0.05 AND 6),
    a520                   DOUBLE PRECISION CHECK (a520 BETWEEN -0.05 AND 6),
    a620                   DOUBLE PRECISION CHECK (a620 BETWEEN -0.05 AND 6),
    body                   TEXT, -- further wavelengths, the scan, or the colour
    taken_at               TEXT,
    counts_from            TEXT NOT NULL, -- taken_at, or else recorded_at
    instrument             TEXT NOT NULL,
    analyst                TEXT NOT NULL,
    diluent                TEXT NOT NULL CHECK (diluent IN ('', 'water', 'model_wine', 'acid', 'wine', 'other')),
    blank                  TEXT NOT NULL,
    temperature_c          DOUBLE PRECISION CHECK (temperature_c BETWEEN -10 AND 60),
    minutes_since_blending DOUBLE PRECISION CHECK (minutes_since_blending >= 0),
    replicate              BIGINT CHECK (replicate BETWEEN 1 AND 1000),
    supersedes             TEXT REFERENCES reading (id) DEFERRABLE INITIALLY DEFERRED,
    reason                 TEXT NOT NULL,
    recorded_at            TEXT NOT NULL,
    import_id              TEXT REFERENCES file_import (id),
    import_row             BIGINT CHECK (import_row >= 1),
    archived_at            TEXT,
    archive_reason         TEXT NOT NULL,
    fingerprint            BYTEA, -- of the content, while the reading counts: what is there already is told by it
    checksum               BIGINT NOT NULL,
    CHECK ((kind = 'readings') = (a420 IS NOT NULL)),
    CHECK ((a420 IS NULL) = (a520 IS NULL) AND (a420 IS NULL) = (a620 IS NULL)),
    CHECK (kind = 'readings' OR body IS NOT NULL),
    CHECK (supersedes IS NULL OR length(trim(reason)) > 0),
    CHECK ((import_id IS NULL) = (import_row IS NULL))
);
CREATE INDEX reading_of_wine ON reading (wine_id, counts_from, id);
CREATE UNIQUE INDEX reading_content ON reading (fingerprint) WHERE fingerprint IS NOT NULL;
CREATE UNIQUE INDEX reading_correction ON reading (supersedes) WHERE supersedes IS NOT NULL;
CREATE INDEX reading_of_import ON reading (import_id, import_row) WHERE import_id IS NOT NULL;

-- What became of the entries of a file that were not simply taken.
CREATE TABLE import_row (
    import_id  TEXT NOT NULL REFERENCES file_import (id),
    row_no     BIGINT NOT NULL CHECK (row_no >= 1),
    place      TEXT NOT NULL,
    status     TEXT NOT NULL CHECK (status IN ('accepted', 'duplicate', 'rejected')),
    name       TEXT NOT NULL,
    wine_id    TEXT REFERENCES wine (id),
    reading_id TEXT REFERENCES reading (id),
    problem    TEXT,
    warnings   TEXT,
    raw        TEXT,
    checksum   BIGINT NOT NULL,
    PRIMARY KEY (import_id, row_no),
    CHECK ((status = 'rejected') = (problem IS NOT NULL))
);

-- What a person said the columns of a header are.
CREATE TABLE header_mapping (
    signature  TEXT PRIMARY KEY,
    mapping    TEXT NOT NULL,
    updated_at TEXT NOT NULL,
    checksum   BIGINT NOT NULL
);
