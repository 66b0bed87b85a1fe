-- Why a record was archived or brought back is never changed or deleted.
CREATE TRIGGER archiving_is_kept BEFORE UPDATE
ON archiving FOR EACH ROW EXECUTE FUNCTION record_is_kept('why a record was archived or brought back is never changed');
CREATE TRIGGER archiving_is_not_deleted BEFORE DELETE
ON archiving FOR EACH ROW EXECUTE FUNCTION record_is_kept('why a record was archived or brought back is never deleted');
