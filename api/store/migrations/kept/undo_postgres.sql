-- That an import was undone is never changed or deleted.
CREATE TRIGGER import_undo_is_kept BEFORE UPDATE
ON import_undo FOR EACH ROW EXECUTE FUNCTION record_is_kept('an import is undone once: bring the file in again');
CREATE TRIGGER import_undo_is_not_deleted BEFORE DELETE
ON import_undo FOR EACH ROW EXECUTE FUNCTION record_is_kept('an import is undone once: bring the file in again');
