-- +goose Up
-- That an import was undone: its readings are archived, and the wines that it
-- added and that nothing else uses.

CREATE TABLE import_undo (
    import_id TEXT PRIMARY KEY REFERENCES file_import (id),
    reason    TEXT NOT NULL CHECK (length(trim(reason)) > 0),
    readings  BIGINT NOT NULL CHECK (readings >= 0), -- that were archived by it
    wines     BIGINT NOT NULL CHECK (wines >= 0),
    undone_at TEXT NOT NULL,
    checksum  BIGINT NOT NULL
);
