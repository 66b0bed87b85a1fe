package pages

import (
	"errors"
	"fmt"
	"strings"

	"pourpath/api/record"
)

func unreadable(err error) error { return fmt.Errorf("%w: %w", errUnreadable, err) }

// staleError is a form that was sent from a page which others have overtaken: what
// has come since, as keys of texts with their values.
type staleError struct{ since []note }

func (e staleError) Error() string {
	return fmt.Sprintf("%d things came since the page was shown", len(e.since))
}

// untooledError is the form of a trial without a measuring tool, of which no plan
// could be made, and what else is wrong with it.
type untooledError struct{ others error }

func (untooledError) Error() string { return "the trial has no measuring tool" }

// refusal is what is wrong with a form, in words, where its sender can mend it; any
// other error it returns.
func (s *site) refusal(err error, at places) ([]note, error) {
	var stale staleError
	var untooled untooledError
	if n, ok := panelNote(err); ok {
		return s.told([]note{n})
	}
	switch {
	case errors.As(err, &untooled):
		notes := []note{{Field: toolsField, key: "note.no_tools"}}
		if untooled.others != nil {
			others, err := s.refusal(untooled.others, at)
			if err != nil {
				return nil, err
			}
			notes = append(notes, others...)
		}
		return s.told(notes)
	case errors.As(err, &stale):
		return s.told(stale.since)
	case errors.Is(err, record.ErrArchived):
		return s.told([]note{{key: "note.lot_archived"}})
	case errors.Is(err, record.ErrChanged):
		return s.told([]note{{key: "note.spec_changed"}})
	}
	list, err := faultsOf(err)
	if err != nil {
		return nil, err
	}
	var notes []note
	for _, f := range list { // a place that is none of the form's says nothing here
		message, err := s.words.refused(f, english(strings.TrimSpace(f.Message)))
		if err != nil {
			return nil, err
		}
		notes = append(notes, note{Field: at.field(f.Location), Message: message})
	}
	return notes, nil
}
