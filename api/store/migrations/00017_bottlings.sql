-- +goose Up
-- When a lot was bottled, as it came to be known or was corrected after the lot was
-- set up; the newest counts. Times and checksums are as in the first step.

CREATE TABLE lot_bottling (
    lot_id      TEXT NOT NULL REFERENCES lot (id),
    bottling_no BIGINT NOT NULL CHECK (bottling_no >= 1),
    bottled_at  TEXT NOT NULL,
    body        TEXT NOT NULL, -- who says so, and why
    recorded_at TEXT NOT NULL,
    checksum    BIGINT NOT NULL,
    PRIMARY KEY (lot_id, bottling_no)
);
CREATE INDEX lot_figure_of_lot ON lot_figure (lot_id);
