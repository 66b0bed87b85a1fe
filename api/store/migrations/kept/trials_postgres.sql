-- What was poured, promised and judged is never changed or deleted; archiving a
-- trial, a specification or a lot is all that may be done.
CREATE FUNCTION record_is_kept() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION '%', TG_ARGV[0];
END
$$;
CREATE TRIGGER trial_is_kept BEFORE UPDATE OF id, name, base_ml, base_id, addition_id, target_id, setup, created_at
ON trial FOR EACH ROW EXECUTE FUNCTION record_is_kept('a trial is set up once: archive it and begin another');
CREATE TRIGGER trial_is_not_deleted BEFORE DELETE ON trial FOR EACH ROW EXECUTE FUNCTION record_is_kept('a trial is never deleted: archive it');
CREATE TRIGGER trial_glass_is_kept BEFORE UPDATE
ON trial_glass FOR EACH ROW EXECUTE FUNCTION record_is_kept('the glasses of a trial stay those declared');
CREATE TRIGGER trial_glass_is_not_deleted BEFORE DELETE ON trial_glass FOR EACH ROW EXECUTE FUNCTION record_is_kept('the glasses of a trial stay those declared');
CREATE TRIGGER trial_entry_is_kept BEFORE UPDATE
ON trial_entry FOR EACH ROW EXECUTE FUNCTION record_is_kept('the log of a trial only grows: record what corrects the entry');
CREATE TRIGGER trial_entry_is_not_deleted BEFORE DELETE ON trial_entry FOR EACH ROW EXECUTE FUNCTION record_is_kept('the log of a trial only grows: record what corrects the entry');
CREATE TRIGGER spec_is_kept BEFORE UPDATE OF id, version, name, target_id, body, created_at
ON spec FOR EACH ROW EXECUTE FUNCTION record_is_kept('a specification is never changed: make another');
CREATE TRIGGER spec_is_not_deleted BEFORE DELETE ON spec FOR EACH ROW EXECUTE FUNCTION record_is_kept('a specification is never deleted: archive it');
CREATE TRIGGER lot_is_kept BEFORE UPDATE OF id, name, spec_id, spec_version, wine_id, created_at
ON lot FOR EACH ROW EXECUTE FUNCTION record_is_kept('a lot is set up once: archive it and begin another');
CREATE TRIGGER lot_is_not_deleted BEFORE DELETE ON lot FOR EACH ROW EXECUTE FUNCTION record_is_kept('a lot is never deleted: archive it');
CREATE TRIGGER lot_sample_is_kept BEFORE UPDATE
ON lot_sample FOR EACH ROW EXECUTE FUNCTION record_is_kept('a sample is never changed: read another');
CREATE TRIGGER lot_sample_is_not_deleted BEFORE DELETE ON lot_sample FOR EACH ROW EXECUTE FUNCTION record_is_kept('a sample is never deleted');
CREATE TRIGGER lot_verdict_is_kept BEFORE UPDATE
ON lot_verdict FOR EACH ROW EXECUTE FUNCTION record_is_kept('a verdict is never changed: judging again gives another');
CREATE TRIGGER lot_verdict_is_not_deleted BEFORE DELETE ON lot_verdict FOR EACH ROW EXECUTE FUNCTION record_is_kept('a verdict is never deleted');
