-- How a panel was set up and what its judges answered is never changed or deleted.
CREATE TRIGGER panel_is_kept BEFORE UPDATE
ON panel BEGIN
    SELECT RAISE(ABORT, 'a panel is set up once: open another');
END;
CREATE TRIGGER panel_is_not_deleted BEFORE DELETE
ON panel BEGIN
    SELECT RAISE(ABORT, 'a panel is set up once: open another');
END;
CREATE TRIGGER panel_judge_is_kept BEFORE UPDATE
ON panel_judge BEGIN
    SELECT RAISE(ABORT, 'a judge of a panel stays, with the order of serving');
END;
CREATE TRIGGER panel_judge_is_not_deleted BEFORE DELETE
ON panel_judge BEGIN
    SELECT RAISE(ABORT, 'a judge of a panel stays, with the order of serving');
END;
CREATE TRIGGER panel_answer_is_kept BEFORE UPDATE
ON panel_answer BEGIN
    SELECT RAISE(ABORT, 'an answer of a judge is never changed or deleted: record a correction');
END;
CREATE TRIGGER panel_answer_is_not_deleted BEFORE DELETE
ON panel_answer BEGIN
    SELECT RAISE(ABORT, 'an answer of a judge is never changed or deleted: record a correction');
END;
CREATE TRIGGER panel_closing_is_kept BEFORE UPDATE
ON panel_closing BEGIN
    SELECT RAISE(ABORT, 'a session is closed once');
END;
CREATE TRIGGER panel_closing_is_not_deleted BEFORE DELETE
ON panel_closing BEGIN
    SELECT RAISE(ABORT, 'a session is closed once');
END;
