-- A reading is never changed or deleted; archiving it is all that may be done.
CREATE TRIGGER reading_is_kept BEFORE UPDATE OF
    id, wine_id, kind, path_mm, dilution, u_absorbance, a420, a520, a620, body, taken_at, counts_from, instrument, analyst, diluent, blank, temperature_c,
    minutes_since_blending, replicate, supersedes, reason, recorded_at, import_id, import_row
ON reading BEGIN
    SELECT RAISE(ABORT, 'a reading is never changed: record a correction');
END;
CREATE TRIGGER reading_is_not_deleted BEFORE DELETE ON reading BEGIN
    SELECT RAISE(ABORT, 'a reading is never deleted: archive it');
END;
