-- What was poured, promised and judged is never changed or deleted; archiving a
-- trial, a specification or a lot is all that may be done.
CREATE TRIGGER trial_is_kept BEFORE UPDATE OF id, name, base_ml, base_id, addition_id, target_id, setup, created_at
ON trial BEGIN
    SELECT RAISE(ABORT, 'a trial is set up once: archive it and begin another');
END;
CREATE TRIGGER trial_is_not_deleted BEFORE DELETE ON trial BEGIN
    SELECT RAISE(ABORT, 'a trial is never deleted: archive it');
END;
CREATE TRIGGER trial_glass_is_kept BEFORE UPDATE
ON trial_glass BEGIN
    SELECT RAISE(ABORT, 'the glasses of a trial stay those declared');
END;
CREATE TRIGGER trial_glass_is_not_deleted BEFORE DELETE ON trial_glass BEGIN
    SELECT RAISE(ABORT, 'the glasses of a trial stay those declared');
END;
CREATE TRIGGER trial_entry_is_kept BEFORE UPDATE
ON trial_entry BEGIN
    SELECT RAISE(ABORT, 'the log of a trial only grows: record what corrects the entry');
END;
CREATE TRIGGER trial_entry_is_not_deleted BEFORE DELETE ON trial_entry BEGIN
    SELECT RAISE(ABORT, 'the log of a trial only grows: record what corrects the entry');
END;
CREATE TRIGGER spec_is_kept BEFORE UPDATE OF id, version, name, target_id, body, created_at
ON spec BEGIN
    SELECT RAISE(ABORT, 'a specification is never changed: make another');
END;
CREATE TRIGGER spec_is_not_deleted BEFORE DELETE ON spec BEGIN
    SELECT RAISE(ABORT, 'a specification is never deleted: archive it');
END;
CREATE TRIGGER lot_is_kept BEFORE UPDATE OF id, name, spec_id, spec_version, wine_id, created_at
ON lot BEGIN
    SELECT RAISE(ABORT, 'a lot is set up once: archive it and begin another');
END;
CREATE TRIGGER lot_is_not_deleted BEFORE DELETE ON lot BEGIN
    SELECT RAISE(ABORT, 'a lot is never deleted: archive it');
END;
CREATE TRIGGER lot_sample_is_kept BEFORE UPDATE
ON lot_sample BEGIN
    SELECT RAISE(ABORT, 'a sample is never changed: read another');
END;
CREATE TRIGGER lot_sample_is_not_deleted BEFORE DELETE ON lot_sample BEGIN
    SELECT RAISE(ABORT, 'a sample is never deleted');
END;
CREATE TRIGGER lot_verdict_is_kept BEFORE UPDATE
ON lot_verdict BEGIN
    SELECT RAISE(ABORT, 'a verdict is never changed: judging again gives another');
END;
CREATE TRIGGER lot_verdict_is_not_deleted BEFORE DELETE ON lot_verdict BEGIN
    SELECT RAISE(ABORT, 'a verdict is never deleted');
END;
