-- When a lot was bottled is corrected by another record.
CREATE TRIGGER lot_bottling_is_kept BEFORE UPDATE
ON lot_bottling BEGIN
    SELECT RAISE(ABORT, 'a bottling is never changed or deleted: record another one');
END;
CREATE TRIGGER lot_bottling_is_not_deleted BEFORE DELETE
ON lot_bottling BEGIN
    SELECT RAISE(ABORT, 'a bottling is never changed or deleted: record another one');
END;
