package pages

import (
	"context"
	"errors"
	"net/url"
	"strings"
	"unicode/utf8"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// archivedNote is that something is archived, when, and why where that was told.
type archivedNote struct {
	ID, Name string // of the wine
	At       moment // its ISO is empty for what is in use
	Reason   string
}

func archivedNoteOf(w record.Wine) archivedNote {
	n := archivedNote{ID: w.ID, Name: w.Name, Reason: w.ArchiveReason}
	if w.ArchivedAt != nil {
		n.At = momentOf(*w.ArchivedAt)
	}
	return n
}

// archivedAmong are those of some stored wines that are archived, each once: whoever
// follows a link to them is told. Identifiers of none are passed over.
func (s *site) archivedAmong(ctx context.Context, ids ...string) ([]archivedNote, error) {
	var out []archivedNote
	told := map[string]bool{"": true}
	for _, id := range ids {
		if told[id] || s.config.Records == nil {
			continue
		}
		told[id] = true
		w, err := s.config.Records.Wine(ctx, id)
		if errors.Is(err, record.ErrNotFound) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if w.ArchivedAt != nil {
			out = append(out, archivedNoteOf(w))
		}
	}
	return out, nil
}

// winesUsed are the stored wines whose readings were used for something.
func winesUsed(list []calc.ReadingsUsed) (ids []string) {
	for _, used := range list {
		ids = append(ids, used.Wine)
	}
	return ids
}

// longestWhy is how long a reason may be, in characters, as at the interface.
const longestWhy = 1000

// whyTyped is a reason that may be left out.
func whyTyped(typed url.Values, field string) (string, error) {
	reason := strings.TrimSpace(lines(typed.Get(field)))
	if n := utf8.RuneCountInString(reason); n > longestWhy {
		return "", calc.Refuse(calc.Fault{Location: "/reason", Message: "the reason is too long: give at most 1000 characters"})
	}
	return reason, nil
}

// whyGiven is a reason that must be there.
func whyGiven(typed url.Values, field string) (string, error) {
	reason, err := whyTyped(typed, field)
	if err == nil && reason == "" {
		err = calc.Refuse(calc.Fault{Location: "/reason", Message: "say why it no longer counts"})
	}
	return reason, err
}
