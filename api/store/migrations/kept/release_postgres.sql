-- What a release rests on is never changed or deleted.
CREATE TRIGGER lot_detail_is_kept BEFORE UPDATE
ON lot_detail FOR EACH ROW EXECUTE FUNCTION record_is_kept('what is said of a lot is said once: archive it and begin another');
CREATE TRIGGER lot_detail_is_not_deleted BEFORE DELETE
ON lot_detail FOR EACH ROW EXECUTE FUNCTION record_is_kept('what is said of a lot is said once: archive it and begin another');
CREATE TRIGGER lot_decision_is_kept BEFORE UPDATE
ON lot_decision FOR EACH ROW EXECUTE FUNCTION record_is_kept('a decision is never changed or deleted: record another one');
CREATE TRIGGER lot_decision_is_not_deleted BEFORE DELETE
ON lot_decision FOR EACH ROW EXECUTE FUNCTION record_is_kept('a decision is never changed or deleted: record another one');
CREATE TRIGGER statement_is_kept BEFORE UPDATE
ON statement FOR EACH ROW EXECUTE FUNCTION record_is_kept('the register of statements only grows: issue another one');
CREATE TRIGGER statement_is_not_deleted BEFORE DELETE
ON statement FOR EACH ROW EXECUTE FUNCTION record_is_kept('the register of statements only grows: issue another one');
CREATE TRIGGER instrument_check_is_kept BEFORE UPDATE
ON instrument_check FOR EACH ROW EXECUTE FUNCTION record_is_kept('a check of an instrument is never changed or deleted: record another one');
CREATE TRIGGER instrument_check_is_not_deleted BEFORE DELETE
ON instrument_check FOR EACH ROW EXECUTE FUNCTION record_is_kept('a check of an instrument is never changed or deleted: record another one');
