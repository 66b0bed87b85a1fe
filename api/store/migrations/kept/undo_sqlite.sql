-- That an import was undone is never changed or deleted.
CREATE TRIGGER import_undo_is_kept BEFORE UPDATE
ON import_undo BEGIN
    SELECT RAISE(ABORT, 'an import is undone once: bring the file in again');
END;
CREATE TRIGGER import_undo_is_not_deleted BEFORE DELETE
ON import_undo BEGIN
    SELECT RAISE(ABORT, 'an import is undone once: bring the file in again');
END;
