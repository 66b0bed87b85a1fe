package pages

import (
	"net/http"
	"strconv"
	"strings"

	"github.com/google/uuid"

	"pourpath/api/calc"
	"pourpath/api/record"
)

// doneView is the page of an import that was made.
type doneView struct {
	frame
	Done    *importDone
	Again   bool // the file that was sent brought nothing new
	Before  bool // it was brought in by this import before
	At      moment
	Waiting []waitingFile
}

// againField tells in the address of an import that the same file was sent again,
// and how many of its readings were there.
const againField = "again"

// importResult answers with what became of a file.
func (s *site) importResult(r *http.Request) (document, error) {
	id := r.PathValue("id")
	if uuid.Validate(id) != nil {
		return document{}, record.ErrNotFound
	}
	imported, err := s.config.Records.FindImport(r.Context(), id)
	if err != nil {
		return document{}, err
	}
	v := doneView{frame: s.frame(r, "import"), At: momentOf(imported.ImportedAt), Again: r.URL.Query().Has(againField)}
	v.Done = doneOf(imported)
	if v.Again {
		v.Before = imported.Accepted > 0
		v.Done.Outcome = "known"
		if there, err := strconv.Atoi(r.URL.Query().Get(againField)); err != nil || there == 0 {
			v.Done.Outcome = "none"
		} else if imported.Rejected > 0 {
			v.Done.Outcome = "no_more"
		}
	}
	if v.Waiting, err = s.waitingFiles(""); err != nil {
		return document{}, err
	}
	d, err := s.render("imported.html", v)
	d.passing = true // it tells what waits
	return d, err
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
	At moment
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
		v.Items = append(v.Items, importLine{Import: i, At: momentOf(i.ImportedAt)})
	}
	return s.render("imports.html", v)
}
