-- Why a record was archived or brought back is never changed or deleted.
CREATE TRIGGER archiving_is_kept BEFORE UPDATE ON archiving BEGIN
    SELECT RAISE(ABORT, 'why a record was archived or brought back is never changed');
END;
CREATE TRIGGER archiving_is_not_deleted BEFORE DELETE ON archiving BEGIN
    SELECT RAISE(ABORT, 'why a record was archived or brought back is never deleted');
END;
