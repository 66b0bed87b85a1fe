-- What a release rests on is never changed or deleted.
CREATE TRIGGER lot_detail_is_kept BEFORE UPDATE
ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'what is said of a lot is said once: archive it and begin another');
END;
CREATE TRIGGER lot_detail_is_not_deleted BEFORE DELETE
ON lot_detail BEGIN
    SELECT RAISE(ABORT, 'what is said of a lot is said once: archive it and begin another');
END;
CREATE TRIGGER lot_decision_is_kept BEFORE UPDATE
ON lot_decision BEGIN
    SELECT RAISE(ABORT, 'a decision is never changed or deleted: record another one');
END;
CREATE TRIGGER lot_decision_is_not_deleted BEFORE DELETE
ON lot_decision BEGIN
    SELECT RAISE(ABORT, 'a decision is never changed or deleted: record another one');
END;
CREATE TRIGGER statement_is_kept BEFORE UPDATE
ON statement BEGIN
    SELECT RAISE(ABORT, 'the register of statements only grows: issue another one');
END;
CREATE TRIGGER statement_is_not_deleted BEFORE DELETE
ON statement BEGIN
    SELECT RAISE(ABORT, 'the register of statements only grows: issue another one');
END;
CREATE TRIGGER instrument_check_is_kept BEFORE UPDATE
ON instrument_check BEGIN
    SELECT RAISE(ABORT, 'a check of an instrument is never changed or deleted: record another one');
END;
CREATE TRIGGER instrument_check_is_not_deleted BEFORE DELETE
ON instrument_check BEGIN
    SELECT RAISE(ABORT, 'a check of an instrument is never changed or deleted: record another one');
END;
