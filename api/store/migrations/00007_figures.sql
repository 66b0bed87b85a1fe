-- +goose Up
-- The figures of each verdict that charts are made of, in plain columns, and
-- numbered in the order in which they were committed, so that whoever has seen
-- some asks for those that came since. They are derived from the verdict, the
-- sample and the lot: no backup holds them, and restoring makes them anew. The
-- checksum is over what a chart reads.

CREATE TABLE lot_figure (
    figure_no   BIGINT PRIMARY KEY CHECK (figure_no >= 1),
    verdict_id  TEXT NOT NULL UNIQUE REFERENCES lot_verdict (id),
    spec_id     TEXT NOT NULL,
    product_key TEXT NOT NULL, -- of the lot, else of the specification, as names are matched
    sample_id   TEXT NOT NULL,
    lot_id      TEXT NOT NULL REFERENCES lot (id),
    at_us       BIGINT NOT NULL, -- bottled_at, else taken_at, else recorded_at: microseconds since 1970
    retained    BIGINT NOT NULL CHECK (retained IN (0, 1)),
    conditions  TEXT NOT NULL, -- illuminant, observer, depth, and what the colour was made from
    cie_l       DOUBLE PRECISION NOT NULL,
    cie_a       DOUBLE PRECISION NOT NULL,
    cie_b       DOUBLE PRECISION NOT NULL,
    intensity   DOUBLE PRECISION,
    tint        DOUBLE PRECISION,
    delta_e_00  DOUBLE PRECISION, -- from the reference, where there is one
    checksum    BIGINT NOT NULL
);
CREATE INDEX lot_figure_of_spec ON lot_figure (spec_id, figure_no);
CREATE INDEX lot_figure_of_product ON lot_figure (product_key, figure_no) WHERE product_key <> '';
CREATE INDEX lot_archived ON lot (archived_at) WHERE archived_at IS NOT NULL;
