package pages

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// doneView is the page of an import that was made.
type doneView struct {
	frame
	Done    *importDone
	Before  bool // it was brought in by this import before
	At      moment
	Waiting []waitingFile
	Key     string // of one press
	Undo    askGroup
	Faults  []toldFault
	Undone  moment
	Resting []resting
}

// resting is what rests on an import, with its page.
type resting struct {
	record.Resting
	Href string
}

// undoFields are the form that undoes an import.
var undoFields = []asked{{sentField: sentField{"reason", "/reason", aText}, as: askArea, wide: true}}

// againField tells in the address of an import that the same file was sent again,
// and how many of its readings were there.
const againField = "again"

// importResult answers with what became of a file.
func (s *site) importResult(r *http.Request) (document, error) {
	return s.importResultAgain(r, nil, nil)
}

// importResultAgain is the page of an import, with what is wrong with what was sent
// from it.
func (s *site) importResultAgain(r *http.Request, typed url.Values, faults []note) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	imported, err := s.config.Records.FindImport(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	v := doneView{frame: s.frame(r, "import"), Done: doneOf(imported), At: momentOf(imported.ImportedAt), Key: newKey()}
	if query := r.URL.Query(); query.Has(againField) {
		v.Before = imported.Accepted > 0
		v.Done.Outcome = outcomeAgain(query.Get(againField), imported)
	}
	if u := imported.Undone; u != nil {
		v.Done.Outcome, v.Undone = "undone", momentOf(u.UndoneAt)
	}
	for _, rests := range imported.Resting {
		v.Resting = append(v.Resting, resting{rests, pageOf(rests)})
	}
	f := filled{form: "undo", typed: typed, faults: faults}
	v.Undo = f.group("undo_import", undoFields)
	v.Faults = f.told([]askGroup{v.Undo})
	if v.Waiting, err = s.waitingFiles(""); err != nil {
		return document{}, err
	}
	d, err := s.render("imported.html", v)
	d.passing = true // it tells what waits
	return d, err
}

// outcomeAgain is the outcome of a file that brought nothing new; there is how many
// of its readings were there.
func outcomeAgain(there string, i record.Import) string {
	switch {
	case there == "0":
		return "none"
	case i.Rejected > 0:
		return "no_more"
	}
	return "known"
}

// pageOf is where something that rests on an import is shown.
func pageOf(r record.Resting) string {
	switch r.Kind {
	case "trial":
		return "/trials/" + r.ID
	case "lot":
		return "/lots/" + r.ID
	case "statement":
		return "/statements/" + r.ID
	}
	return "/readings/" + r.ID
}

// undoImport takes the form that undoes an import.
func (s *site) undoImport(w http.ResponseWriter, r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	if err := takingTime(w); err != nil {
		return document{}, err
	}
	return s.takeForm(w, r, taking{
		take: func(typed url.Values) (string, places, error) {
			root, at := fieldsOf(undoFields).body(s.words, typed.Get)
			root["reason"] = strings.TrimSpace(typed.Get("reason"))
			body, err := decoded[record.ImportUndoBody](root)
			if err != nil {
				return "", at, err
			}
			return "/imports/" + id, at, s.config.Records.UndoImport(r.Context(), id, body.Reason)
		},
		again: func(typed url.Values, faults []note) (document, error) { return s.importResultAgain(r, typed, faults) },
	})
}

// importDone is what became of a file.
type importDone struct {
	record.Import
	Outcome     string // key of the headline
	MoreColumns int    // columns that are not listed
	Told        []toldRow
	MoreRows    bool
	Wines       []wineLink
	MoreWines   bool
}

// toldRow is a reading of the file that was not simply taken.
type toldRow struct {
	Place, Name string
	Status      record.Status
	Wine        string // identifier, where it is stored
	There       string // identifier of the reading that a duplicate repeats
	Faults      []calc.Fault
	Warnings    []calc.Warning
}

type wineLink struct{ ID, Name string }

// How much of an import is told on the page; the rest is in its record.
const (
	rowsTold  = 200
	winesTold = 24
)

func doneOf(i record.Import) *importDone {
	done := &importDone{Import: i, Outcome: outcome(i)}
	if n := len(i.Columns); n > columnsTold {
		done.Columns, done.MoreColumns = i.Columns[:columnsTold], n-columnsTold
	}
	linked := map[string]bool{}
	for _, row := range i.Rows {
		if row.Wine == "" || row.Status == record.Rejected || linked[row.Wine] {
			continue
		}
		linked[row.Wine] = true
		if len(done.Wines) < winesTold {
			done.Wines = append(done.Wines, wineLink{row.Wine, row.Name})
		}
	}
	done.MoreWines = len(linked) > winesTold || i.Next != ""
	// What must be mended comes first.
	for _, wanted := range []func(record.ImportRow) bool{
		func(r record.ImportRow) bool { return r.Status == record.Rejected },
		func(r record.ImportRow) bool { return r.Status == record.Accepted && len(r.Warnings) > 0 },
		func(r record.ImportRow) bool { return r.Status == record.Duplicate },
	} {
		for _, row := range i.Rows {
			if wanted(row) {
				done.tell(row)
			}
		}
	}
	done.MoreRows = done.MoreRows || i.Next != ""
	return done
}

func (d *importDone) tell(row record.ImportRow) {
	if len(d.Told) == rowsTold {
		d.MoreRows = true
		return
	}
	told := toldRow{Place: row.Place, Name: row.Name, Status: row.Status, Warnings: row.Warnings, Wine: row.Wine}
	if row.Status == record.Duplicate {
		told.There = row.Reading
	}
	if row.Problem != nil {
		told.Faults = row.Problem.Errors
		for i, f := range told.Faults { // the place stands beside it already
			told.Faults[i].Location = strings.TrimPrefix(strings.TrimPrefix(f.Location, row.Place), ", ")
		}
	}
	d.Told = append(d.Told, told)
}

// outcome is the key of the headline.
func outcome(i record.Import) string {
	switch {
	case i.Accepted > 0 && i.Rejected > 0:
		return "part"
	case i.Accepted > 0:
		return "all"
	case i.Duplicates > 0 && i.Rejected == 0:
		return "known"
	case i.Duplicates > 0:
		return "no_more"
	}
	return "none"
}

// importsView is the list of imports that were made.
type importsView struct {
	frame
	leaf[importLine]
}

// importLine is one import of the list.
type importLine struct {
	record.Import
	At, UndoneAt moment
}

// imports answers with the imports, the newest first.
func (s *site) imports(r *http.Request) (document, error) {
	shown, err := leafOf(r.URL, func(i record.Import) string { return i.ID },
		func(p record.Page) ([]record.Import, error) { return s.config.Records.Imports(r.Context(), p) })
	if err != nil {
		return document{}, err
	}
	v := importsView{frame: s.frame(r, "imports"), leaf: leaf[importLine]{Older: shown.Older, Newer: shown.Newer}}
	for _, i := range shown.Items {
		line := importLine{Import: i, At: momentOf(i.ImportedAt)}
		if i.Undone != nil {
			line.UndoneAt = momentOf(i.Undone.UndoneAt)
		}
		v.Items = append(v.Items, line)
	}
	return s.render("imports.html", v)
}
