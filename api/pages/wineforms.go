package pages

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/record"
)

// The fields of a wine's forms.
var (
	wineFacts = []asked{
		{sentField: sentField{"name", "/name", aText}},
		{sentField: sentField{"wine_kind", "/kind", aText}, as: askPick, values: []string{"white", "rose", "red", "other"}},
		{sentField: sentField{"wine_lot", "/lot", aText}},
		{sentField: sentField{"vintage", "/vintage", aNumber}},
		{sentField: sentField{"stock_l", "/stock_l", aVolume}},
		{sentField: sentField{"notes", "/notes", aText}, as: askArea, wide: true},
	}
	whyArchived    = []asked{{sentField: sentField{"archive_reason", "/reason", aText}, as: askArea, wide: true}}
	whyBroughtBack = []asked{{sentField: sentField{"back_reason", "/reason", aText}, as: askArea, wide: true}}
)

// wineEditView is the page on which what is said of a wine is changed.
type wineEditView struct {
	frame
	Wine     record.Wine
	Archived archivedNote
	Key      string
	Facts    askGroup
	Was      []wasField // what the form began with
	Between  []between
	Typed    bool     // what was typed of the wine is shown, also where it is archived by now
	Leave    askGroup // why it is archived
	Back     askGroup // why it is brought back
	Faults   []toldFault
}

// wasField is what a field of a form began with, so that a change of somebody else
// can be told from one's own.
type wasField struct{ Name, Text string }

// between is a field that somebody else has changed since the form was opened.
type between struct {
	Name              string
	Was, Theirs, Mine said // entered, where it is a number
	Touched           bool // it was changed here too
}

// Was and theirs of a field, in front of its name.
const wasPrefix = "was_"

// wineTyped is a wine as the form has it.
func wineTyped(w record.Wine) url.Values {
	typed := url.Values{"name": {w.Name}, "wine_kind": {string(w.Kind)}, "wine_lot": {w.Lot}, "notes": {lines(w.Notes)}}
	if w.Vintage != nil {
		typed.Set("vintage", strconv.Itoa(*w.Vintage))
	}
	if w.StockL != nil {
		typed.Set("stock_l", string(plain(*w.StockL)))
	}
	return typed
}

// lines are those of a text as the records have them: a browser sends them with a
// carriage return.
func lines(text string) string { return strings.ReplaceAll(text, "\r\n", "\n") }

// wineOf is the wine that an address names.
func (s *site) wineOf(r *http.Request) (record.Wine, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return record.Wine{}, record.ErrNotFound
	}
	return s.config.Records.Wine(r.Context(), id)
}

// editWine answers with the forms of a wine.
func (s *site) editWine(r *http.Request) (document, error) {
	w, err := s.wineOf(r)
	if err != nil {
		return document{}, err
	}
	return s.wineEdit(r, w, "", nil, nil)
}

// wineEdit is the page; of the form that was sent, with what was typed and what is
// wrong.
func (s *site) wineEdit(r *http.Request, w record.Wine, sent string, typed url.Values, faults []note) (document, error) {
	as := func(form string, begin url.Values) filled {
		if form == sent {
			return filled{form: form, typed: typed, faults: faults}
		}
		return filled{form: form, typed: begin}
	}
	v := wineEditView{frame: s.frame(r, "wines"), Wine: w, Archived: archivedNoteOf(w), Key: newKey()}
	now := wineTyped(w)
	facts := as("wine", now)
	if v.Typed = sent == "wine"; v.Typed {
		v.Between, facts.typed = merged(s.words, typed, now)
	}
	leave, back := as("leave", url.Values{}), as("back", url.Values{})
	v.Facts, v.Leave, v.Back = facts.group("facts", wineFacts), leave.group("leave", whyArchived), back.group("back", whyBroughtBack)
	for _, a := range wineFacts {
		v.Was = append(v.Was, wasField{wasPrefix + a.name, now.Get(a.name)})
	}
	switch sent {
	case "wine":
		v.Faults = facts.told([]askGroup{v.Facts})
	case "leave":
		v.Faults = leave.told([]askGroup{v.Leave})
	case "back":
		v.Faults = back.told([]askGroup{v.Back})
	}
	d, err := s.render("wineedit.html", v)
	d.passing = true // it has keys for one change each
	return d, err
}

// merged is a form on top of what is stored now: what was changed in it stays as it
// was typed, what was not touched takes what is stored; and which fields somebody else
// has changed since it was opened.
func merged(words *catalogue, typed, now url.Values) (list []between, kept url.Values) {
	kept = url.Values{}
	for _, a := range wineFacts {
		was, mine, theirs := lines(typed.Get(wasPrefix+a.name)), lines(typed.Get(a.name)), now.Get(a.name)
		number := a.shape != aText
		meant := mine
		if number {
			meant = words.pointed(mine)
		}
		touched := !typed.Has(wasPrefix+a.name) || meant != was
		kept.Set(a.name, mine)
		if !touched {
			kept.Set(a.name, theirs)
		}
		if typed.Has(wasPrefix+a.name) && was != theirs || touched && !typed.Has(wasPrefix+a.name) && meant != theirs {
			one := between{Name: a.name, Was: was, Theirs: theirs, Mine: mine, Touched: touched}
			if number {
				one.Was, one.Theirs, one.Mine = entered(was), entered(theirs), entered(mine)
			}
			list = append(list, one)
		}
	}
	return list, kept
}

// changeWine takes a form of a wine.
func (s *site) changeWine(w http.ResponseWriter, r *http.Request) (document, error) {
	wine, err := s.wineOf(r)
	if err != nil {
		return document{}, err
	}
	form := map[string]string{"edit": "wine", "archive": "leave", "unarchive": "back"}[r.PathValue("what")]
	take := map[string]func(context.Context, record.Wine, url.Values) (places, error){"wine": s.takeFacts, "leave": s.takeLeave, "back": s.takeBack}[form]
	if take == nil {
		return document{}, errNothingHere
	}
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			at, err := take(r.Context(), wine, typed)
			return "/wines/" + wine.ID, at, wineRefusal(err)
		},
		again: func(typed url.Values, faults []note) (document, error) {
			// What came between is looked for now: it is what the sender is told of.
			wine, err := s.wineOf(r)
			if err != nil {
				return document{}, err
			}
			return s.wineEdit(r, wine, form, typed, faults)
		},
	})
}

// wineRefusal puts what the records refuse of wines and readings into words.
func wineRefusal(err error) error {
	for _, known := range []struct {
		is  error
		key string
	}{
		{record.ErrChanged, "note.wine_changed"}, {record.ErrArchived, "note.record_archived"}, {record.ErrNotArchived, "note.record_in_use"},
		{record.ErrSuperseded, "note.reading_superseded"},
	} {
		if errors.Is(err, known.is) {
			return staleError{[]note{{key: known.key}}}
		}
	}
	return err
}

// seenVersion is the version that a page had seen, which its form tells; 0, which
// there is none of, where it does not.
func seenVersion(typed url.Values) int64 {
	n, err := strconv.ParseInt(typed.Get("seen"), 10, 64)
	if err != nil {
		return 0
	}
	return n
}

func (s *site) takeFacts(ctx context.Context, w record.Wine, typed url.Values) (places, error) {
	root, at := fieldsOf(wineFacts).body(s.words, func(name string) string { return lines(typed.Get(name)) })
	if root["name"] == nil {
		root["name"] = " " // which the interface asks about in plain words
	}
	fields, err := decoded[record.WineFields](root)
	if err != nil {
		return at, err
	}
	fields.Varieties = w.Varieties // which the form has no field for
	_, err = s.config.Records.ChangeWine(ctx, w.ID, seenVersion(typed), fields)
	return at, err
}

func (s *site) takeLeave(ctx context.Context, w record.Wine, typed url.Values) (places, error) {
	at := places{{"/reason", "archive_reason"}}
	reason, err := whyGiven(typed, "archive_reason")
	if err == nil {
		_, err = s.config.Records.ArchiveWine(ctx, w.ID, seenVersion(typed), reason)
	}
	return at, err
}

func (s *site) takeBack(ctx context.Context, w record.Wine, typed url.Values) (places, error) {
	at := places{{"/reason", "back_reason"}}
	reason, err := whyTyped(typed, "back_reason")
	if err == nil {
		_, err = s.config.Records.BringBackWine(ctx, w.ID, reason)
	}
	return at, err
}
