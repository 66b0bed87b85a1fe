-- How a panel was set up and what its judges answered is never changed or deleted.
CREATE TRIGGER panel_is_kept BEFORE UPDATE
ON panel FOR EACH ROW EXECUTE FUNCTION record_is_kept('a panel is set up once: open another');
CREATE TRIGGER panel_is_not_deleted BEFORE DELETE
ON panel FOR EACH ROW EXECUTE FUNCTION record_is_kept('a panel is set up once: open another');
CREATE TRIGGER panel_judge_is_kept BEFORE UPDATE
ON panel_judge FOR EACH ROW EXECUTE FUNCTION record_is_kept('a judge of a panel stays, with the order of serving');
CREATE TRIGGER panel_judge_is_not_deleted BEFORE DELETE
ON panel_judge FOR EACH ROW EXECUTE FUNCTION record_is_kept('a judge of a panel stays, with the order of serving');
CREATE TRIGGER panel_answer_is_kept BEFORE UPDATE
ON panel_answer FOR EACH ROW EXECUTE FUNCTION record_is_kept('an answer of a judge is never changed or deleted: record a correction');
CREATE TRIGGER panel_answer_is_not_deleted BEFORE DELETE
ON panel_answer FOR EACH ROW EXECUTE FUNCTION record_is_kept('an answer of a judge is never changed or deleted: record a correction');
CREATE TRIGGER panel_closing_is_kept BEFORE UPDATE
ON panel_closing FOR EACH ROW EXECUTE FUNCTION record_is_kept('a session is closed once');
CREATE TRIGGER panel_closing_is_not_deleted BEFORE DELETE
ON panel_closing FOR EACH ROW EXECUTE FUNCTION record_is_kept('a session is closed once');
